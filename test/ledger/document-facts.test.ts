import { decimalIn, objectIn, textIn, textsIn } from '../../src/ledger/operations/document-facts.js';

const document = {
  text: 'a',
  texts: ['a', 'b'],
  object: { b: 1 },
  decimal: '-0.000001',
  number: 1,
  mixed: ['a', 1],
  none: null,
};

test('facts of a document are read as what they are', () => {
  expect(textIn(document, 'text')).toBe('a');
  expect(textsIn(document, 'texts')).toEqual(['a', 'b']);
  expect(objectIn(document, 'object')).toEqual({ b: 1 });
  expect(decimalIn(document, 'decimal').toFixed()).toBe('-0.000001');
  expect(decimalIn(document, 'number').toFixed()).toBe('1');
});

test.each(['none', 'missing'])('what is %s is undefined', (name) => {
  expect([textIn(document, name), textsIn(document, name), objectIn(document, name)]).toEqual([
    undefined,
    undefined,
    undefined,
  ]);
});

test.each([
  [textIn, 'number', 'a text'],
  [textsIn, 'mixed', 'a list of texts'],
  [textsIn, 'text', 'a list of texts'],
  [objectIn, 'texts', 'an object'],
  [decimalIn, 'texts', 'a decimal'],
  [decimalIn, 'text', 'a decimal'],
  [decimalIn, 'none', 'a decimal'],
] as const)('%p refuses %s, naming it', (read, name, kind) => {
  expect(() => read(document, name)).toThrow(`operation.document/${name} does not hold ${kind}.`);
});
