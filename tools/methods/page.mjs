// Writes the reference page. Deviations have two digits, so that rounding on another machine does not change the page.

const HEAD = `# Methods

Each method with its formula, source, valid range and limits, and the published values with which it was compared.
The tables of checks are made from the output of the tests (\`npm run docs:methods\`); \`npm test\` fails where they no longer agree.

Outside its range a method refuses; no answer is an extrapolation. Figures from memory, without a document, are marked so.
Strength is % vol at 20 °C, volume litres at 20 °C of degassed liquid, density true density (in vacuo), specific gravity apparent
(in air of 1.2 kg/m³), as hydrometers are. The values, each with source and flag, are in \`test/reference/\`.

These are computations, not legal advice: local law and licensed practice decide about labels, duty and containers.
`;

/** Two digits; a tolerance keeps what was stated. */
const few = (value) => (value === 0 ? '0' : String(Number(value.toPrecision(2))));
const stated = (value) => String(Number(value.toPrecision(6)));

const cell = (text) => String(text).replaceAll('|', '\\|').replaceAll('\n', ' ');

function checksOf(method, records) {
  if (method.checks.length === 0) return '';
  const rows = method.checks.map((table) => {
    const { rows: figures, largestDeviation, tolerance, unit, source, note } = records.get(table);
    const inUnit = unit === '1' ? '' : ` ${unit}`;
    const remark = note === undefined ? source : `${source}; ${note}`;
    return `| ${cell(table)} | ${figures} | ${few(largestDeviation)}${cell(inUnit)} | ${stated(tolerance)}${cell(inUnit)} | ${cell(remark)} |`;
  });
  return `\n| published values | figures | largest deviation | allowed | source and remarks |\n|---|---|---|---|---|\n${rows.join('\n')}\n`;
}

const section = (method, records) => `
## ${method.title}

Method \`${method.ids.join('`, `')}\`.

- **Formula:** ${method.formula}
- **Source:** ${method.source}
- **Range:** ${method.range}
- **Stated error:** ${method.error}
- **Does not cover:** ${method.notCovered}
${checksOf(method, records)}`;

const coverage = (files, records) => `
## Rows read

Every row of these files is read; otherwise the check fails. A suspected misprint is kept, and named in the remarks above.

| file under \`test/reference/\` | figures | tables |
|---|---|---|
${files
  .map(({ file, tables }) => {
    const figures = tables.reduce((sum, table) => sum + records.get(table).rows, 0);
    return `| \`${file}\` | ${figures} | ${tables.length} |`;
  })
  .join('\n')}
`;

export function renderPage(methods, files, records) {
  return `${HEAD}${methods.map((method) => section(method, records)).join('')}${coverage(files, records)}`;
}
