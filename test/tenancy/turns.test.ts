import { setImmediate as turn } from 'node:timers/promises';
import { jest } from '@jest/globals';
import { Turns } from '../../src/tenancy/producer-database/turns.js';

/** Work that is ended by hand, and the order in which it began. */
function works(turns: Turns) {
  const begun: string[] = [];
  const ends = new Map<string, () => void>();
  const start = (producer: string, name: string): Promise<string> =>
    turns.run(producer, () => {
      begun.push(name);
      return new Promise((resolve) => ends.set(name, () => resolve(name)));
    });
  const end = async (name: string): Promise<void> => {
    ends.get(name)?.();
    await turn();
  };
  return { begun, start, end };
}

test('one producer does so much at once, in the order in which it was asked for', async () => {
  const { begun, start, end } = works(new Turns(2));
  const all = ['a', 'b', 'c', 'd'].map((name) => start('p', name));
  await turn();
  expect(begun).toEqual(['a', 'b']);
  await end('b');
  expect(begun).toEqual(['a', 'b', 'c']);
  await end('c');
  await end('a');
  await end('d');
  expect(await Promise.all(all)).toEqual(['a', 'b', 'c', 'd']);
});

test('another producer does not wait', async () => {
  const { begun, start, end } = works(new Turns(1));
  const all = [start('p', 'a'), start('p', 'b'), start('q', 'c')];
  await turn();
  expect(begun).toEqual(['a', 'c']);
  await end('c');
  await end('a');
  await end('b');
  await Promise.all(all);
});

test('what fails hands its turn on', async () => {
  const turns = new Turns(1);
  const failing = turns.run('p', () => Promise.reject(new Error('refused')));
  const next = turns.run('p', () => Promise.resolve('done'));
  await expect(failing).rejects.toThrow('refused');
  expect(await next).toBe('done');
});

test('a wait ends after ten seconds, and what gave up is not begun later', async () => {
  jest.useFakeTimers({ doNotFake: ['setImmediate', 'nextTick'] });
  try {
    const { begun, start, end } = works(new Turns(1));
    const first = start('p', 'a');
    const late = start('p', 'b');
    const refusal = expect(late).rejects.toMatchObject({ code: '55P03' });
    jest.advanceTimersByTime(10_000);
    await refusal;
    const third = start('p', 'c');
    await end('a');
    await end('c');
    await Promise.all([first, third]);
    expect(begun).toEqual(['a', 'c']);
  } finally {
    jest.useRealTimers();
  }
});
