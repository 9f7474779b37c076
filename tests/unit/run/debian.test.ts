import { expect, test } from 'vitest';
import { installerPrefix } from '../../run/debian.mjs';

test.each([
  [{ debian: true, root: true, sudo: false }, []],
  [{ debian: true, root: false, sudo: true }, ['sudo', '-n']],
  [{ debian: true, root: false, sudo: false }, undefined],
  [{ debian: false, root: true, sudo: true }, undefined],
])(
  "Debian's packages are installed only where nobody has to be asked: %o: %o",
  (machine, prefix) => {
    expect(installerPrefix(machine)).toEqual(prefix);
  },
);
