/** The oldest Node this program runs on. Same as `engines` in package.json, which a test checks. */
export const OLDEST_NODE = { major: 20, minor: 9 };

/**
 * The sentence to say when this Node is too old, else undefined.
 * This file, start.mjs and test.mjs are read by whatever Node is there, so they keep to syntax that Node 14 knows;
 * everything newer is imported after this check.
 * @param {string} version such as "18.19.1"
 * @returns {string | undefined}
 */
export function nodeVersionProblem(version) {
  const [major = 0, minor = 0] = version.split('.').map(Number);
  const oldest = OLDEST_NODE;
  if (major > oldest.major || (major === oldest.major && minor >= oldest.minor)) return undefined;
  return `Passround needs Node ${oldest.major}.${oldest.minor} or later, and this is Node ${version}; install a newer one from your system or from the Node.js site and try again.`;
}
