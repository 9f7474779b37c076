import type { Config } from '../../server/config';
import { readConfig } from '../../server/config';

/** A configuration for tests: a port of the system's choice, and a secret that outlives a restart. */
export function testConfig(dataDir: string): Config {
  return readConfig({ PORT: '0', DATA_DIR: dataDir, SECRET: 'a secret for tests alone' });
}
