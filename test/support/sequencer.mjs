// The two longest test files go first: the one that makes the two years, and the random sequences. What else stands on the two years goes last, so
// that no worker waits for them.
import Sequencer from '@jest/test-sequencer';

const FIRST = /test\/(officer\/kept|sequences\/sequences)\.test\.ts$/;
const OTHERS = /test\/(officer|demo\/two-years)/;

export default class extends Sequencer {
  sort(tests) {
    const place = ({ path }) => (FIRST.test(path) ? 0 : OTHERS.test(path) ? 2 : 1);
    return super.sort(tests).toSorted((one, other) => place(one) - place(other));
  }
}
