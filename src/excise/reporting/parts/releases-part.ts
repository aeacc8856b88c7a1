import type { Decimal } from '../../../metrology/decimals.js';
import { Exact, sumOf } from '../../../metrology/decimals.js';
import type { MovementRow } from '../../movements/movement.reader.js';
import { pureAlcoholForDuty } from '../../movements/strength-for-duty.js';
import type { DutyCalculation } from '../../duty/rules/duty.js';
import { dutyOf } from '../../duty/rules/duty.js';
import type { LineDuty } from '../../duty/rules/line.js';
import type { ReportDuty } from '../documents/duty.dto.js';
import type { ReportInput } from '../sources/report-input.js';
import { dutiableOf, dutyLines } from './duty-lines.js';
import { groupPart, releasePart } from './duty-wire.js';

const lpaOf = ({ line, strengthPercent }: LineDuty): Decimal => pureAlcoholForDuty(line.litres, strengthPercent);

/** Releases on which duty falls, and their groups by category, band and rate. */
export function releasesPart(
  input: Pick<ReportInput, 'findings' | 'names' | 'settings' | 'ruleSets'>,
  counted: readonly MovementRow[],
): Pick<ReportDuty, 'releases' | 'groups'> & { readonly calculation: DutyCalculation; readonly forDuty: Decimal } {
  const { names } = input;
  const { lines, measuredOf } = dutyLines(input, counted.map(dutiableOf));
  const calculation = dutyOf(input.ruleSets, lines);
  const groupOf = new Map(
    calculation.groups.flatMap((group) => group.lines.map(({ line }) => [line.id, group] as const)),
  );
  const lineMoney = new Map(
    calculation.groups.flatMap((group) => group.lineMoney.map((each) => [each.lineId, each] as const)),
  );
  const releases = calculation.lines.map((duty, i) =>
    releasePart(counted[i], names.packagedLots.get(counted[i].packagedLotId ?? ''), {
      duty,
      litresOfPureAlcohol: lpaOf(duty),
      measured: measuredOf.get(counted[i].id),
      money: lineMoney.get(duty.line.id),
      group: groupOf.get(duty.line.id),
    }),
  );
  const rows = new Map(counted.map((row) => [row.id, row]));
  const groups = calculation.groups.map((group) =>
    groupPart(group, {
      litres: sumOf(group.lines.map(({ line }) => line.litres)),
      forDuty: sumOf(group.lines.map(lpaOf)),
      inBooks: sumOf(group.lines.map(({ line }) => new Exact((rows.get(line.id) as MovementRow).bookLpa))),
    }),
  );
  return { calculation, releases, groups, forDuty: sumOf(calculation.lines.map(lpaOf)) };
}
