import { Decimal } from 'decimal.js';
import fc from 'fast-check';
import { scanBody } from '../../src/platform/http/body-scan.js';

const ruleOf = (text: string): string | undefined => scanBody(Buffer.from(text))?.rule;

describe('the scan of a raw body', () => {
  test.each([
    ['NUL escaped', '{"a":"x\\u0000y"}', 'nul'],
    ['NUL escaped in a name', '{"a\\u0000":1}', 'nul'],
    ['NUL raw in a string', '{"a":"\u0000"}', 'nul'],
    ['NUL raw between', '{"a":1\u0000}', 'nul'],
    ['high surrogate alone', '{"a":"\\ud800"}', 'lone-surrogate'],
    ['high surrogate before a letter', '{"a":"\\ud800x"}', 'lone-surrogate'],
    ['high surrogate twice', '{"a":"\\ud800\\ud800"}', 'lone-surrogate'],
    ['low surrogate alone', '{"a":"\\udc00"}', 'lone-surrogate'],
    ['duplicate name', '{"a":1,"a":2}', 'duplicate-key'],
    ['duplicate name, one of them escaped', '{"a":1,"\\u0061":2}', 'duplicate-key'],
    ['duplicate name deep down', '{"x":[{"a":1,"b":{"c":1},"a":2}]}', 'duplicate-key'],
    ['__proto__', '{"__proto__":{"admin":true}}', 'reserved-name'],
    ['__proto__ escaped', '{"\\u005f_proto__":1}', 'reserved-name'],
    ['constructor', '{"constructor":{"prototype":{}}}', 'reserved-name'],
    ['hasOwnProperty', '{"hasOwnProperty":1}', 'reserved-name'],
    ['toString', '{"toString":1}', 'reserved-name'],
    ['a whole number beyond 2^53 that no double is', '{"a":9007199254740993}', 'number-not-held'],
    ['the same below zero', '{"a":-9007199254740993}', 'number-not-held'],
    ['the same with decimals', '{"a":9007199254740993.0}', 'number-not-held'],
    ['the same with an exponent', '{"a":9.007199254740993e15}', 'number-not-held'],
    ['17 digits of which a double changes the last', '{"a":0.12345678901234567}', 'number-not-held'],
    ['a digit that a double drops', '{"a":1.0000000000000001}', 'number-not-held'],
    ['18 digits', '{"a":0.300000000000000041}', 'too-many-digits'],
    ['18 digits, the last ones zero', '{"a":5.00000000000000000}', 'too-many-digits'],
    ['digits that a double drops', '{"a":5.00000000000000001}', 'too-many-digits'],
    ['overflow', '{"a":1e400}', 'number-too-large'],
    ['negative overflow', '{"a":-1e400}', 'number-too-large'],
    ['underflow', '{"a":1e-400}', 'number-too-small'],
    ['denormal', '{"a":5e-320}', 'number-too-small'],
    ['minus zero', '{"a":-0}', 'negative-zero'],
    ['minus zero with decimals', '{"a":-0.00}', 'negative-zero'],
    ['a number of many zeros', `{"a":0.${'0'.repeat(60)}1}`, 'number-too-long'],
    ['20,000 nested arrays', `{"a":${'['.repeat(20_000)}${']'.repeat(20_000)}}`, 'too-deep'],
    ['too many elements', `{"a":[${'1,'.repeat(20_000)}1]}`, 'too-many-elements'],
    ['a name of a thousand letters', `{"${'a'.repeat(1000)}":1}`, 'name-too-long'],
    ['a byte order mark', '\ufeff{}', 'byte-order-mark'],
  ])('refuses %s', (_what, text, rule) => {
    expect(ruleOf(text)).toBe(rule);
  });

  test('refuses bytes that are not UTF-8, encoded surrogates and overlong forms among them', () => {
    for (const bytes of [[0xff], [0xc0, 0xaf], [0xed, 0xa0, 0x80], [0xf4, 0x90, 0x80, 0x80]]) {
      const body = Buffer.concat([Buffer.from('{"a":"'), Buffer.from(bytes), Buffer.from('"}')]);
      expect(scanBody(body)?.rule).toBe('not-utf-8');
    }
  });

  test('lets through what only looks like it', () => {
    const bodies = [
      '{"a":"\\ud83c\\udf7a 🍺","b":"{\\"a\\":1,\\"a\\":2}","c":[{"a":1},{"a":2}]}',
      '{"a":"1e400, -0, 9007199254740993","b":"\\\\u0000"}',
      '{"a":0,"b":0.000001,"c":-1.5e-3,"d":123456789012345,"e":0.0,"f":1e5}',
      `{"a":${'['.repeat(19)}${']'.repeat(19)}}`,
      '{"aa":1,"a":{"a":{"a":[]}},"":1}',
      // 0.1 + 0.2, 2^53, 2^53 + 2, the largest double and the smallest normal one (IEEE 754), as their shortest texts.
      '{"a":0.30000000000000004,"b":9007199254740992,"c":9007199254740994,"d":1.7976931348623157e308}',
      // 1865924208420076.25 and 1571319686869990.25: the shortest text ends with 2, the rounded one with 3.
      '{"a":1865924208420076.2,"b":1865924208420076.3,"c":1571319686869990.2}',
      '{"a":2.2250738585072014e-308,"b":-1.2345678901234567,"c":5.0000000000000000,"d":0.10000000000000001}',
    ];
    for (const text of bodies) {
      expect(scanBody(Buffer.from(text))).toBeUndefined();
      expect(() => JSON.parse(text) as unknown).not.toThrow();
    }
  });

  test('finds nothing in what JSON.stringify writes of plain things, and never throws on anything', () => {
    const value = fc.jsonValue({ maxDepth: 4 });
    const digits = (text: string): number => text.replace(/e.*$/i, '').replace(/\D/g, '').replace(/^0+/, '').length;
    fc.assert(
      fc.property(value, (given) => {
        const text = JSON.stringify({ given });
        const numbers = text.replaceAll(/"(?:[^"\\]|\\.)*"/g, '').match(/-?\d[\d.eE+-]*/g) ?? [];
        const isKept = numbers.every(
          (number) => digits(number) <= 17 && (Number(number) === 0 || Math.abs(Number(number)) > 1e-307),
        );
        const rule = ruleOf(text);
        const textRules = ['reserved-name', 'nul', 'lone-surrogate', 'negative-zero', 'name-too-long'];
        expect(rule === undefined || !isKept || textRules.includes(rule)).toBe(true);
      }),
      { numRuns: 500 },
    );
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 200 }), (bytes) => {
        scanBody(Buffer.from(bytes));
      }),
      { numRuns: 500 },
    );
  });

  test('every normal double is taken, as its shortest text and with all 17 digits', () => {
    // Whole numbers from 1e17 to 1e21 are written with filling zeros, as more digits than are taken.
    const double = fc
      .double({ noNaN: true, noDefaultInfinity: true })
      .filter((x) => Math.abs(x) >= 2 ** -1022 && (Math.abs(x) < 1e17 || Math.abs(x) >= 1e21));
    fc.assert(
      fc.property(double, (given) => {
        expect(ruleOf(`{"a":${String(given)}}`)).toBeUndefined();
        expect(ruleOf(`{"a":${given.toExponential(16)}}`)).toBeUndefined();
      }),
      { numRuns: 1000 },
    );
  });

  test('a number of 16 or 17 digits is taken if, and only if, the double nearest to it has these digits, rounded or as its shortest text', () => {
    const digits = fc.stringMatching(/^[1-9]\d{14,15}[1-9]$/);
    fc.assert(
      fc.property(digits, fc.integer({ min: -20, max: 20 }), (text, exponent) => {
        const number = `${text[0]}.${text.slice(1)}e${exponent}`;
        const texts = [Number(number).toPrecision(text.length), String(Number(number))];
        const isHeld = texts.some((each) => new Decimal(each).equals(new Decimal(number)));
        expect(ruleOf(`{"a":${number}}`)).toBe(isHeld ? undefined : 'number-not-held');
      }),
      { numRuns: 1000 },
    );
  });

  test('takes less time than parsing takes, about', () => {
    const row =
      '{"name":"lot 17","volume":{"value":123.456,"unit":"L"},"tags":["a","b"],"note":"a longer text of a person"},';
    const body = Buffer.from(`{"rows":[${row.repeat(1500).slice(0, -1)}]}`);
    // Processor time, so that other work on the machine does not count.
    const started = process.cpuUsage();
    for (let round = 0; round < 20; round++) {
      expect(scanBody(body)).toBeUndefined();
    }
    const megabytesPerSecond = (20 * body.length) / process.cpuUsage(started).user;
    console.info(`body scan: ${megabytesPerSecond.toFixed(0)} MB/s`);
    expect(megabytesPerSecond).toBeGreaterThan(5);
  });
});
