/**
 * Reads what Vitest's JSON reporter wrote.
 *
 * @typedef {object} Tally
 * @property {number} passed tests
 * @property {number} failed tests, and test files that could not even be loaded
 * @property {number} skipped tests, those marked as still to do included
 * @property {boolean} clean whether nothing else went wrong
 *
 * @typedef {object} Report what is read of Vitest's report
 * @property {boolean} success
 * @property {number} numPassedTests
 * @property {number} numFailedTests
 * @property {number} numPendingTests
 * @property {number} numTodoTests
 * @property {readonly {status: string, assertionResults: readonly {status: string}[]}[]} testResults
 */

/**
 * @param {Report} report
 * @returns {Tally} a file that fails outside its tests counts as one failure, so that it is not lost
 */
export function countOf(report) {
  const brokenFiles = report.testResults.filter(
    (file) =>
      file.status === 'failed' && !file.assertionResults.some((test) => test.status === 'failed'),
  ).length;
  return {
    passed: report.numPassedTests,
    failed: report.numFailedTests + brokenFiles,
    skipped: report.numPendingTests + report.numTodoTests,
    clean: report.success,
  };
}

/**
 * @param {readonly Tally[]} tallies
 * @returns {Tally}
 */
export function addUp(tallies) {
  const total = { passed: 0, failed: 0, skipped: 0, clean: true };
  for (const tally of tallies) {
    total.passed += tally.passed;
    total.failed += tally.failed;
    total.skipped += tally.skipped;
    total.clean &&= tally.clean;
  }
  return total;
}

/**
 * @param {Tally} tally
 * @returns {string}
 */
export function sentenceOf(tally) {
  return `${tally.passed} passed, ${tally.failed} failed, ${tally.skipped} skipped`;
}
