import { expect, it } from 'vitest';
import { addUp, countOf, sentenceOf } from './tally.mjs';

const report = {
  success: true,
  numPassedTests: 5,
  numFailedTests: 0,
  numPendingTests: 2,
  numTodoTests: 1,
  testResults: [{ status: 'passed', assertionResults: [{ status: 'passed' }] }],
};

it('tests still to be written count as skipped', () => {
  expect(countOf(report)).toEqual({ passed: 5, failed: 0, skipped: 3, clean: true });
});

it('a test file that cannot be loaded counts as one failure', () => {
  const broken = {
    ...report,
    success: false,
    testResults: [...report.testResults, { status: 'failed', assertionResults: [] }],
  };
  expect(countOf(broken)).toMatchObject({ failed: 1, clean: false });
});

it('a test file with failed tests is not counted again beside them', () => {
  const failing = {
    ...report,
    success: false,
    numFailedTests: 1,
    testResults: [{ status: 'failed', assertionResults: [{ status: 'failed' }] }],
  };
  expect(countOf(failing)).toMatchObject({ failed: 1 });
});

it('runs add up to one sentence, and one unclean run makes the whole unclean', () => {
  const total = addUp([
    { passed: 3, failed: 0, skipped: 1, clean: true },
    { passed: 2, failed: 1, skipped: 0, clean: false },
  ]);
  expect(total.clean).toBe(false);
  expect(sentenceOf(total)).toBe('5 passed, 1 failed, 1 skipped');
});
