import { runQuietly } from '../../server/launch/child.mjs';
import { installDebian } from './debian.mjs';

/**
 * Poppler's programs, with which the tests read what is printed; installed where that can be done unasked. Where they are missing those tests
 * are skipped, and it is said here and in the count of the run.
 * @param {string} root the project's folder
 * @param {{ say: (line: string) => void }} options
 * @returns {Promise<boolean>} whether they are here
 */
export async function ensurePoppler(root, { say }) {
  const found = await Promise.all(
    ['pdftotext', 'pdftoppm'].map((command) =>
      runQuietly({ command, args: ['-v'] }, { cwd: root, env: process.env }),
    ),
  );
  if (found.every(({ code }) => code === 0)) return true;
  if (await installDebian(root, ['poppler-utils'], { say })) return true;
  say('Poppler is not here, so the pages of the printed sheet are not looked at.');
  return false;
}
