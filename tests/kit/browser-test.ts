import { test as base } from '@playwright/test';

export { expect } from '@playwright/test';

/** A test in a browser. What it has opened is closed after it: a page that plays on takes time from the tests that come. */
export const test = base.extend<{ readonly closing: undefined }>({
  closing: [
    async ({ browser }, use) => {
      await use(undefined);
      await Promise.all(browser.contexts().map((context) => context.close()));
    },
    { auto: true },
  ],
});
