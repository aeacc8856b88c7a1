import type { ClosingCheck, Closing } from '../../excise/closing/closing.dto.js';
import type { PackagedLot } from '../../production/operations/packaging/packaged-lots.dto.js';
import type { PeriodReport } from '../../excise/reporting/documents/report.dto.js';
import { Refusal } from '../client/api.js';
import { compareReport, endedNow, sha256 } from '../client/report-check.js';
import type { Ended } from '../client/report-check.js';
import { micro, shown, toNumber } from '../client/micro.js';
import { NOTHING, plus, pureAlcohol } from '../client/notebook.js';
import type { Entry, World } from '../client/world.js';

/** The report of a closed period: the bytes as they were received. */
export interface ClosedPeriod {
  readonly startsOn: string;
  readonly reportJson: string;
  readonly reportCsv: string;
  readonly hash: string;
}

/** The ends of the months: the first is closed early in the second; the second is checked, and closed on request. */
export function periodEnds(world: World, closed: ClosedPeriod[]): { first: Entry[]; look: Entry; close: Entry } {
  const ended: Ended[] = [];
  const turn = async (): Promise<string> => {
    ended.push(endedNow(world.books));
    world.books.turnOver();
    const left = [...world.books.opening.values()].reduce(plus, NOTHING);
    return `${toNumber(left.litres).toFixed(2)} L, ${toNumber(pureAlcohol(left)).toFixed(3)} L of pure alcohol`;
  };
  const first = [
    world.entry(1, 1, '00:00', 'The first month is over', turn),
    world.entry(1, 2, '11:00', 'First month checked and closed', async () => {
      closed.push(await close(world, 0, ended[0]));
      return `report ${closed[0].hash.slice(0, 16)}…`;
    }),
    world.entry(1, 2, '11:30', 'A late entry into it is refused', () => lateEntry(world)),
  ];
  const look = world.entry(2, 1, '00:00', 'The second month is over', async () => {
    const said = await turn();
    const report = await world.api.get<PeriodReport>(`/v1/periods/${world.site.periodIds[1]}/report`);
    compareReport(world.checks, report, ended[1]);
    await comparePackagedLots(world);
    world.checks.same('the second month opens from the frozen report', report.opening.source, 'frozen-report');
    world.checks.same('hash of the report before', report.opening.reportHash, closed[0].hash);
    return said;
  });
  const second = world.entry(2, 1, '00:05', 'Second month checked and closed', async () => {
    closed.push(await close(world, 1, ended[1]));
    return `report ${closed[1].hash.slice(0, 16)}…`;
  });
  return { first, look, close: second };
}

/** Containers in stock, as the list of packaged lots says. */
async function comparePackagedLots({ api, books, checks, site }: World): Promise<void> {
  const lots = await api.all<PackagedLot>('/v1/packaged-lots');
  for (const { id, premisesId, lotMark, onHand, nominalVolume } of lots) {
    if (premisesId !== site.premisesId) continue;
    const litres = BigInt(onHand) * micro(nominalVolume.value);
    checks.same(`litres of the containers of ${lotMark} on hand`, shown(litres), shown(books.at(id).litres));
  }
}

async function close({ api, site, checks, calendar }: World, month: number, ended: Ended): Promise<ClosedPeriod> {
  const period = `/v1/periods/${site.periodIds[month]}`;
  const check = await api.get<ClosingCheck>(`${period}/closing-check`);
  const inTheWay = check.findings.filter(({ blocks, code }) => blocks && code !== 'already-closed');
  checks.same('what is in the way of closing', inTheWay.map(({ detail }) => detail).join(' '), '');
  const closing = await api.post<Closing>(`${period}/closing`, {});
  const reportJson = await api.text(`${period}/report?format=json`);
  const reportCsv = await api.text(`${period}/report?format=csv`);
  const report = JSON.parse(reportJson) as PeriodReport;
  checks.same('the report is closed', report.status, 'closed');
  checks.same('hash of the frozen bytes', sha256(reportJson), closing.reportHash);
  checks.same('the same bytes come back', await api.text(`${period}/report?format=json`), reportJson);
  checks.same('head of the trail in the report', report.trail.hash, closing.head.hash);
  checks.same('a statement of what the figures are not', report.statement.length > 0, true);
  compareReport(checks, report, ended);
  return { startsOn: calendar.monthStart(month), reportJson, reportCsv, hash: closing.reportHash };
}

/** Somebody remembers a sample of last month: it belongs into the open period. */
async function lateEntry({ api, checks, calendar }: World): Promise<string> {
  const { items } = await api.get<{ items: { id: string; onHand: number }[] }>('/v1/packaged-lots?limit=200');
  const packagedLotId = items.find(({ onHand }) => onHand >= 1)?.id;
  let code = 'nothing';
  try {
    await api.post('/v1/movements', {
      kind: 'sample',
      packagedLotId,
      count: 1,
      occurredAt: calendar.at(0, 27, '12:00'),
    });
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    code = error.code;
  }
  checks.same('answer to an entry into a closed period', code, 'period-closed');
  return code;
}
