// Of the test files that stand on the two years one goes first and makes them; the others go last, so that no worker waits for it.
import Sequencer from '@jest/test-sequencer';

const FIRST = /test\/officer\/kept\.test\.ts$/;
const OTHERS = /test\/(officer|demo\/two-years)/;

export default class extends Sequencer {
  sort(tests) {
    const place = ({ path }) => (FIRST.test(path) ? 0 : OTHERS.test(path) ? 2 : 1);
    return super.sort(tests).toSorted((one, other) => place(one) - place(other));
  }
}
