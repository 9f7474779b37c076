import { existsSync } from 'node:fs';
import { defineConfig } from '@playwright/test';

const installed = '/usr/bin/chromium';
const browser = process.env.PASSROUND_CHROMIUM ?? (existsSync(installed) ? installed : undefined);
const report = process.env.PASSROUND_BROWSER_REPORT;

/** Files that measure time: one at a time, with the machine to themselves. The others can share it. */
const TIMED = /(hear|practice|play-[a-z]+|whole-way[a-z-]*)\.spec\.ts$/;

/** Tests start their own server on a free port, so there is no `webServer` here. */
export default defineConfig({
  testDir: 'tests/browser',
  workers: 1,
  retries: 0,
  projects: [
    { name: 'pages', testIgnore: TIMED },
    { name: 'time', testMatch: TIMED },
  ],
  timeout: 120_000,
  // A count-in at a workshop's tempo alone takes more than the usual 5 s.
  expect: { timeout: 15_000 },
  globalTimeout: 30 * 60_000,
  forbidOnly: process.env.CI !== undefined,
  reporter: [['list'], ...(report ? [['json', { outputFile: report }] as const] : [])],
  use: {
    actionTimeout: 20_000,
    trace: 'off',
    launchOptions: {
      ...(browser ? { executablePath: browser } : {}),
      args: [
        '--no-sandbox',
        '--disable-quic',
        '--disable-background-networking',
        '--no-first-run',
        '--disable-component-update',
        '--disable-sync',
      ],
    },
  },
});
