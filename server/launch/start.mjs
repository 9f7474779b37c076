import { nodeVersionProblem } from './node-version.mjs';

const problem = nodeVersionProblem(process.versions.node);
if (problem === undefined) {
  void import('./starting.mjs').then(({ start }) => start());
} else {
  process.stderr.write(`${problem}\n`);
  process.exitCode = 1;
}
