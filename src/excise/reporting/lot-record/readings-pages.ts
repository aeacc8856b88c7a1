import type { Content } from 'pdfmake/interfaces.js';
import { Temporal } from 'temporal-polyfill';
import type { GravityScale } from '../../../alcoholometry/liquids/gravity-scales.js';
import { toExtract } from '../../../alcoholometry/liquids/gravity-scales.js';
import { toBase } from '../../../metrology/units.js';
import type { Reading } from '../../../production/measuring/readings/readings.dto.js';
import type { CurvePoint } from '../render/charts.js';
import { fermentationChart } from '../render/charts.js';
import { localTime, plain, readingKind, unitWords, words } from '../render/figures-text.js';
import type { Cell } from '../render/page.js';
import { charts, h1, quiet, table, titled } from '../render/page.js';
import type { LotRecord } from './lot-record.dto.js';

/** Local time of the premises as if it were UTC: the axis knows no zones. */
function localMilliseconds(instant: string, timeZone: string): number {
  const local = Temporal.Instant.from(instant).toZonedDateTimeISO(timeZone).toPlainDateTime();
  return local.toZonedDateTime('UTC').epochMilliseconds;
}

const gravityOf = ({ gravity }: Reading): number | undefined =>
  gravity === undefined
    ? undefined
    : toExtract({ value: gravity.value, scale: gravity.scale as GravityScale }).specificGravity20;

const temperatureOf = ({ kind, quantity, sampleTemperature }: Reading): number | undefined => {
  const read = kind === 'temperature' ? quantity : kind === 'gravity' ? sampleTemperature : undefined;
  return read === undefined ? undefined : toBase('temperature', read);
};

/** Gravity and temperature over time, by hand and by sensor; nothing where none was read. */
export function curve({ readings, lot }: LotRecord): Content[] {
  const counting = readings.filter(({ struck }) => struck === undefined);
  const points = (source: string, valueOf: (reading: Reading) => number | undefined): CurvePoint[] =>
    counting
      .filter((reading) => reading.source === source)
      .flatMap((reading) => {
        const value = valueOf(reading);
        return value === undefined ? [] : [{ at: localMilliseconds(reading.takenAt, lot.timeZone), value }];
      });
  const curves = {
    gravityByHand: points('hand', gravityOf),
    gravityBySensor: points('sensor', gravityOf),
    temperatureByHand: points('hand', temperatureOf),
    temperatureBySensor: points('sensor', temperatureOf),
  };
  return Object.values(curves).every((each) => each.length === 0)
    ? []
    : [
        charts([{ title: 'Gravity and temperature, as read', svg: fermentationChart(curves) }]),
        quiet(
          'Gravity on the scale SG 20/20, not corrected for the temperature of the sample. Struck readings are left out.',
        ),
      ];
}

function valueWords({ gravity, quantity, value, text }: Reading): string {
  if (gravity !== undefined) {
    return `${plain(gravity.value)} ${unitWords(gravity.scale)}`;
  }
  if (quantity !== undefined) {
    return `${plain(quantity.value)} ${unitWords(quantity.unit)}`;
  }
  return value === undefined ? (text ?? '') : plain(value);
}

const readingTable = (list: readonly Reading[], timeZone: string, none: string): Content =>
  table(
    [
      { head: 'Taken (local)', width: 78 },
      { head: 'What', width: 64 },
      { head: 'As read', width: 96 },
      { head: 'Sample at °C', width: 54, right: true },
      { head: 'Remarks', width: '*' },
    ],
    list.map((reading): Cell[] => [
      localTime(reading.takenAt, timeZone),
      readingKind(reading.kind),
      valueWords(reading),
      reading.sampleTemperature === undefined ? '' : plain(toBase('temperature', reading.sampleTemperature), 2),
      [
        ...(reading.struck === undefined ? [] : [`STRUCK: ${words(reading.struck.reasonCode)}`]),
        ...reading.flags.map(
          ({ code, confirmedBy }) => words(code) + (confirmedBy === undefined ? '' : ' (confirmed)'),
        ),
      ].join('; '),
    ]),
    { none },
  );

export function readingsPart({ readings, lot }: LotRecord): Content[] {
  const by = (source: string) => readings.filter((reading) => reading.source === source);
  return [
    titled([h1('Readings by hand')], readingTable(by('hand'), lot.timeZone, 'None was read by hand.')),
    titled([h1('Readings by sensor')], readingTable(by('sensor'), lot.timeZone, 'No sensor sent any.')),
  ];
}
