import { pureAlcohol } from '../../ledger/books/amount.js';
import { litresOf, litresWire } from '../../ledger/books/litres.dto.js';
import { figureOf } from '../../ledger/figures/figure.js';
import { Exact, sumOf } from '../../metrology/decimals.js';
import type { MovementRow } from '../movements/movement.reader.js';
import { DUTY_POINT_KINDS, MOVEMENT_RULES } from '../movements/movement-kinds.js';
import { DECLARED_STRENGTH_RULE, pureAlcoholForDuty } from '../movements/strength-for-duty.js';
import { oneOperation } from './links.js';
import type { DutyPart, Release } from './report.dto.js';
import type { ReportInput } from './report-input.js';

function releaseOf(row: MovementRow, lotMark: string): Release {
  const strength = row.strengthForDutyPercent ?? '0';
  return {
    operationId: row.id,
    kind: row.kind,
    occurredAt: row.occurredAt.toISOString(),
    dutyDate: row.dutyDate ?? '',
    packagedLotId: row.packagedLotId ?? '',
    lotMark,
    category: row.category,
    count: row.count ?? 0,
    litres: litresWire(row.litres),
    strengthForDuty: { value: Number(strength), unit: '%' },
    litresOfPureAlcoholForDuty: litresWire(pureAlcoholForDuty(row.litres, strength)),
    litresOfPureAlcoholInBooks: litresWire(row.bookLpa),
    operations: oneOperation(row.id),
  };
}

/** Releases with litres and litres of pure alcohol for duty, beside what the books hold on the lines of their kinds. */
export function dutyPart({ movements, flows, names }: ReportInput): DutyPart {
  // What was reversed is not there; what puts an earlier period right stands on that line.
  const counted = movements.filter(({ reversed, earlierPeriodId }) => !reversed && earlierPeriodId === null);
  const releases = counted.map((row) => releaseOf(row, names.packagedLots.get(row.packagedLotId ?? '')?.lotMark ?? ''));
  const litres = sumOf(counted.map((row) => new Exact(row.litres)));
  const forDuty = sumOf(releases.map(({ litresOfPureAlcoholForDuty }) => litresOf(litresOfPureAlcoholForDuty)));
  const lines = DUTY_POINT_KINDS.map((kind) => MOVEMENT_RULES[kind].nominal);
  const books = flows
    .filter((row) => row.category === null && lines.includes(row.kind))
    .map((row) => figureOf(row).amount);
  const bookLitres = sumOf(books.map((each) => each.litres)).negated();
  const bookLpa = sumOf(books.map(pureAlcohol)).negated();
  const difference = litres.minus(bookLitres);
  return {
    rule: { ...DECLARED_STRENGTH_RULE },
    releases,
    litres: litresWire(litres),
    litresOfPureAlcoholForDuty: litresWire(forDuty),
    litresOfPureAlcoholInBooks: litresWire(bookLpa),
    tie: {
      litres: litresWire(difference),
      litresOfPureAlcohol: litresWire(forDuty.minus(bookLpa)),
      meets: difference.isZero(),
    },
  };
}
