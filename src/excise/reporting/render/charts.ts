import { createRequire } from 'node:module';
import type { EChartsOption } from 'echarts';
import { FONT_FAMILY } from './pdf-maker.js';

/** Told apart in grey too: dark, light, middle. */
const TONES = ['#1f4e5f', '#b9c4c9', '#7d6b4f', '#d8cfc0', '#4a4a4a', '#8fa8b2'] as const;
const AXIS = '#6b6b6b';
const GRID = '#dddddd';
const TEXT = { fontFamily: FONT_FAMILY, fontSize: 11, color: '#1a1a1a' };

/** A chart as SVG, made without a browser; what it shows is all in the option. */
function svgOf(option: EChartsOption, width: number, height: number): string {
  // Loaded with the first chart: a start should not wait for it.
  const echarts = createRequire(import.meta.url)('echarts') as typeof import('echarts');
  const chart = echarts.init(null, null, { renderer: 'svg', ssr: true, width, height });
  chart.setOption({ animation: false, textStyle: TEXT, ...option });
  const svg = chart.renderToSVGString();
  chart.dispose();
  return svg;
}

const valueAxis = (name: string) => ({
  type: 'value' as const,
  name,
  nameTextStyle: { ...TEXT, align: 'left' as const },
  axisLabel: TEXT,
  axisLine: { show: true, lineStyle: { color: AXIS } },
  splitLine: { lineStyle: { color: GRID } },
});

const legend = (data: readonly string[]) => ({
  data: [...data],
  top: 0,
  right: 8,
  textStyle: TEXT,
  itemWidth: 14,
  itemHeight: 10,
});

export interface WeekBars {
  readonly week: string;
  readonly inL: number;
  readonly outL: number;
}

/** Litres of pure alcohol that came in and went out, by week. */
export const weekChart = (weeks: readonly WeekBars[]): string =>
  svgOf(
    {
      grid: { left: 52, right: 12, top: 40, bottom: 28 },
      legend: legend(['in', 'out']),
      xAxis: {
        type: 'category',
        data: weeks.map(({ week }) => week),
        axisLabel: TEXT,
        axisLine: { lineStyle: { color: AXIS } },
        axisTick: { show: false },
      },
      yAxis: valueAxis('litres of pure alcohol'),
      series: [
        { name: 'in', type: 'bar', barMaxWidth: 34, data: weeks.map(({ inL }) => inL), itemStyle: { color: TONES[0] } },
        {
          name: 'out',
          type: 'bar',
          barMaxWidth: 34,
          data: weeks.map(({ outL }) => outL),
          itemStyle: { color: TONES[1], borderColor: TONES[0], borderWidth: 1 },
        },
      ],
    },
    680,
    160,
  );

export interface ProductBar {
  readonly product: string;
  readonly litres: number;
}

const ROW = 24;

/** Closing stock by product: one bar each. */
export const productChart = (bars: readonly ProductBar[]): string => {
  const drawn = bars.toReversed();
  return svgOf(
    {
      grid: { left: 270, right: 60, top: 8, bottom: 40 },
      yAxis: {
        type: 'category',
        data: drawn.map(({ product }) => product),
        axisLabel: { ...TEXT, width: 260, overflow: 'truncate', interval: 0 },
        axisLine: { lineStyle: { color: AXIS } },
        axisTick: { show: false },
      },
      xAxis: { ...valueAxis('litres of pure alcohol'), nameLocation: 'middle', nameGap: 26 },
      series: [
        {
          type: 'bar',
          barMaxWidth: 14,
          data: drawn.map(({ litres }) => litres),
          itemStyle: { color: TONES[0] },
          label: { ...TEXT, show: true, position: 'right', formatter: '{c}' },
        },
      ],
    },
    680,
    Math.max(110, drawn.length * ROW + 56),
  );
};

export interface SumPoint {
  readonly period: string;
  readonly missing: number;
  readonly surplus: number;
}

/** Running sums of a tabular CUSUM by period, what is missing upwards and what is too much downwards, with the decision limit on both sides. */
export const sumChart = (points: readonly SumPoint[], limit: number): string => {
  const line = (name: string, data: number[], color: string, symbol: string) => ({
    name,
    type: 'line' as const,
    data,
    symbol,
    symbolSize: 6,
    color,
    lineStyle: { color, width: 1.8 },
  });
  const bound = { silent: true, symbol: 'none', label: { ...TEXT, formatter: 'h' }, lineStyle: { color: AXIS } };
  return svgOf(
    {
      grid: { left: 52, right: 24, top: 40, bottom: 28 },
      legend: legend(['missing', 'too much']),
      xAxis: {
        type: 'category',
        data: points.map(({ period }) => period),
        axisLabel: { ...TEXT, hideOverlap: true },
        axisLine: { lineStyle: { color: AXIS } },
        axisTick: { show: false },
      },
      yAxis: valueAxis('sum, standard uncertainties'),
      series: [
        {
          ...line(
            'missing',
            points.map(({ missing }) => missing),
            TONES[0],
            'circle',
          ),
          markLine: { ...bound, data: [{ yAxis: limit }, { yAxis: -limit }] },
        },
        line(
          'too much',
          points.map(({ surplus }) => -surplus),
          TONES[2],
          'diamond',
        ),
      ],
    },
    680,
    190,
  );
};

export interface CurvePoint {
  /** Milliseconds since the epoch, moved so that the axis, which is in UTC, shows local time. */
  readonly at: number;
  readonly value: number;
}

export interface FermentationCurves {
  readonly gravityByHand: readonly CurvePoint[];
  readonly gravityBySensor: readonly CurvePoint[];
  readonly temperatureByHand: readonly CurvePoint[];
  readonly temperatureBySensor: readonly CurvePoint[];
}

const points = (list: readonly CurvePoint[]): [number, number][] => list.map(({ at, value }) => [at, value]);

/** Gravity on the left, temperature on the right; what a person read has marks, what a sensor sent is a thin line. */
export const fermentationChart = (curves: FermentationCurves): string => {
  const series = [
    { name: 'gravity, by hand', data: curves.gravityByHand, axis: 0, color: TONES[0], symbol: 'circle', dashed: false },
    { name: 'gravity, sensor', data: curves.gravityBySensor, axis: 0, color: TONES[5], symbol: 'none', dashed: false },
    {
      name: 'temperature, by hand',
      data: curves.temperatureByHand,
      axis: 1,
      color: TONES[2],
      symbol: 'diamond',
      dashed: true,
    },
    {
      name: 'temperature, sensor',
      data: curves.temperatureBySensor,
      axis: 1,
      color: TONES[2],
      symbol: 'none',
      dashed: true,
    },
  ].filter(({ data }) => data.length > 0);
  return svgOf(
    {
      useUTC: true,
      grid: { left: 58, right: 52, top: 46, bottom: 28 },
      legend: legend(series.map(({ name }) => name)),
      xAxis: {
        type: 'time',
        minInterval: 86_400_000,
        axisLabel: { ...TEXT, formatter: '{MM}-{dd}', hideOverlap: true },
        axisLine: { onZero: false, lineStyle: { color: AXIS } },
      },
      yAxis: [
        {
          ...valueAxis('SG 20/20'),
          scale: true,
          axisLabel: { ...TEXT, formatter: (value: number) => value.toFixed(3) },
        },
        { ...valueAxis('°C'), scale: true, splitLine: { show: false }, nameTextStyle: { ...TEXT, align: 'right' } },
      ],
      series: series.map(({ name, data, axis, color, symbol, dashed }) => ({
        name,
        type: 'line' as const,
        yAxisIndex: axis,
        data: points(data),
        symbol,
        symbolSize: 7,
        color,
        lineStyle: {
          color,
          width: symbol === 'none' ? 1 : 1.8,
          type: dashed ? ('dashed' as const) : ('solid' as const),
        },
      })),
    },
    680,
    270,
  );
};
