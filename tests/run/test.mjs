import { nodeVersionProblem } from '../../server/launch/node-version.mjs';

const problem = nodeVersionProblem(process.versions.node);
if (problem === undefined) {
  void import('./testing.mjs').then(({ test }) => test(process.argv.slice(2)));
} else {
  process.stderr.write(`${problem}\n`);
  process.exitCode = 1;
}
