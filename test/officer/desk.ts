import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import type { InPeriod } from '../two-years/landmarks.js';
import type { TwoYears } from '../support/two-years.js';
import { startTwoYears } from '../support/two-years.js';

/** What an officer sits at: the invented producer of two years, with an auditor's key, which reads everything and writes nothing. */
export class Desk {
  private constructor(
    readonly years: TwoYears,
    readonly key: string,
  ) {}

  static async open(): Promise<Desk> {
    const years = await startTwoYears();
    const body = { name: 'Officer (invented)', role: 'auditor' };
    const answer = await years.service.expect(201, 'post', '/v1/keys', { key: years.key, body });
    return new Desk(years, String((answer.body as { key: string }).key));
  }

  close(): Promise<void> {
    return this.years.service.stop();
  }

  async text(path: string): Promise<string> {
    return (await this.years.service.expect(200, 'get', path, { key: this.key })).text;
  }

  async get<T>(path: string): Promise<T> {
    return JSON.parse(await this.text(path)) as T;
  }

  report(periodId: string): Promise<PeriodReport> {
    return this.get<PeriodReport>(`/v1/periods/${periodId}/report`);
  }

  /** All pages of a list. */
  async all<T>(path: string): Promise<T[]> {
    const items: T[] = [];
    for (let next: string | undefined = path; next !== undefined;) {
      const answer = await this.years.service.expect(200, 'get', next, { key: this.key });
      items.push(...(answer.body as { items: T[] }).items);
      next = /<([^>]+)>; rel="next"/.exec(String(answer.headers.link ?? ''))?.[1];
    }
    return items;
  }

  /** Reports of both premises, in order. */
  async reports(): Promise<{ main: PeriodReport[]; second: PeriodReport[] }> {
    const { main, second } = this.years.landmarks.periods;
    const of = async (ids: readonly string[]) => {
      const reports: PeriodReport[] = [];
      for (const id of ids) reports.push(await this.report(id));
      return reports;
    };
    return { main: await of(main), second: await of(second) };
  }

  /** A place in the two years that has to be there. */
  at<K extends keyof TwoYears['landmarks']>(name: K): NonNullable<TwoYears['landmarks'][K]> {
    const place = this.years.landmarks[name];
    if (place === undefined) throw new Error(`The two years have no ${name}.`);
    return place as NonNullable<TwoYears['landmarks'][K]>;
  }

  reportOf({ periodId }: InPeriod): Promise<PeriodReport> {
    return this.report(periodId);
  }
}

/** Litres as whole millionths: sums of reports are compared without rounding. */
export function micro({ value, exact }: { value: number; exact?: string }): bigint {
  const text = exact ?? value.toFixed(6);
  const [whole, fraction = ''] = text.replace('-', '').split('.');
  const size = BigInt(whole) * 1_000_000n + BigInt(fraction.padEnd(6, '0'));
  return text.startsWith('-') ? -size : size;
}

export const total = (values: readonly { value: number; exact?: string }[]): bigint =>
  values.reduce((sum, value) => sum + micro(value), 0n);
