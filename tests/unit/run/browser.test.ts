import { describe, expect, test } from 'vitest';
import { browserPlaces, findBrowser } from '../../../server/launch/chromium.mjs';

const linux = (env: Record<string, string>, ...programs: string[]) => ({
  platform: 'linux' as const,
  env: { PATH: '/usr/local/bin:/usr/bin', ...env },
  runs: (path: string) => programs.includes(path),
});

describe('the browser that is already here', () => {
  test('CHROMIUM_PATH goes before all others', () => {
    const machine = linux({ CHROMIUM_PATH: '/opt/mine' }, '/usr/bin/chromium', '/opt/mine');
    expect(findBrowser(machine)).toBe('/opt/mine');
  });

  test('a CHROMIUM_PATH where nothing is, is told rather than passed over', () => {
    const machine = linux({ CHROMIUM_PATH: '/opt/mine' }, '/usr/bin/chromium');
    expect(() => findBrowser(machine)).toThrow('CHROMIUM_PATH is "/opt/mine"');
  });

  test('Chromium goes before Chrome, wherever in PATH they are', () => {
    const machine = linux({}, '/usr/local/bin/google-chrome', '/usr/bin/chromium');
    expect(findBrowser(machine)).toBe('/usr/bin/chromium');
  });

  test('among the same names the order of PATH counts', () => {
    const machine = linux({}, '/usr/bin/chromium', '/usr/local/bin/chromium');
    expect(findBrowser(machine)).toBe('/usr/local/bin/chromium');
  });

  test('none is found where none is', () => {
    expect(findBrowser(linux({}, '/opt/chromium'))).toBeUndefined();
    expect(findBrowser({ ...linux({}), env: {} })).toBeUndefined();
  });

  test('on macOS applications come after PATH', () => {
    const places = browserPlaces({ ...linux({}), platform: 'darwin' });
    expect(places[0]).toBe('/usr/local/bin/chromium');
    expect(places).toContain('/Applications/Google Chrome.app/Contents/MacOS/Google Chrome');
  });

  test('on Windows the folders for programs are looked through', () => {
    const env = { Path: 'C:\\Tools;D:\\Bin', PROGRAMFILES: 'C:\\Program Files' };
    const places = browserPlaces({ ...linux({}), platform: 'win32', env });
    expect(places.slice(0, 2)).toEqual(['C:\\Tools\\chromium.exe', 'D:\\Bin\\chromium.exe']);
    expect(places).toContain('C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe');
  });
});
