import { moveCommand } from './store/move-command';

/** `npm run move`: see `store/move-command`. */
process.exitCode = await moveCommand(process.argv.slice(2), process.env, (line) => {
  process.stdout.write(`${line}\n`);
});
