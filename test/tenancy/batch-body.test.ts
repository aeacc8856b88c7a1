import { readFileSync } from 'node:fs';
import { columnName } from '../../src/platform/database/column-name.js';
import { bodyRows } from '../../src/tenancy/producer-database/batch-body.js';

test('each table and column of the data model has the name that the map gives it', () => {
  const schema = readFileSync('prisma/schema.prisma', 'utf8');
  const models = [...schema.matchAll(/^model (\w+) \{\n([\s\S]*?)^\}/gm)];
  expect(models.length).toBeGreaterThan(20);
  for (const [, model, body] of models) {
    expect(/@@map\("(\w+)"\)/.exec(body)?.[1]).toBe(columnName(model[0].toLowerCase() + model.slice(1)));
    for (const [, field, options] of body.matchAll(/^ {2}(\w+) +\S+(.*)$/gm)) {
      const column = /@map\("(\w+)"\)/.exec(options)?.[1] ?? field;
      expect(`${model}.${columnName(field)}`).toBe(`${model}.${column}`);
    }
  }
});

test('rows get the names of the database, and what stands in a JSON column keeps its own', () => {
  const document = { madeBy: { aHand: [{ inTwo: 1 }] } };
  expect(
    bodyRows({
      action: 'test.write',
      rows: {
        plan: [{ id: 'p', lotId: 'l', kind: 'dilution', asked: document, computed: [] }],
        readingStrike: [{ readingId: 'r', reasonCode: 'mistyped', textId: null, replacedBy: null }],
      },
    }),
  ).toEqual({
    rows: {
      plan: [{ id: 'p', lot_id: 'l', kind: 'dilution', asked: document, computed: [] }],
      reading_strike: [{ reading_id: 'r', reason_code: 'mistyped', text_id: null, replaced_by: null }],
    },
  });
});
