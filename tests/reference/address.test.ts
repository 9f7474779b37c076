import { expect, test } from 'vitest';
import { placeOf } from '../../server/address';

// Source: RFC 5952, sections 1 and 2: ways of writing one and the same address.
test.each([
  '2001:db8:0:0:1:0:0:1',
  '2001:0db8:0:0:1:0:0:1',
  '2001:db8::1:0:0:1',
  '2001:db8::0:1:0:0:1',
  '2001:0db8::1:0:0:1',
  '2001:db8:0:0:1::1',
  '2001:db8:0000:0:1::1',
  '2001:DB8:0:0:1::1',
  '2001:dB8::1:0:0:1',
])('%s is in the same place however it is written', (text) => {
  expect(placeOf(text)).toBe('2001:db8:0:0::/64');
});

test.each([
  // Source: RFC 5952, sections 2.1 to 2.2
  ['2001:db8:aaaa:bbbb:cccc:dddd:eeee:0001', '2001:db8:aaaa:bbbb::/64'],
  ['2001:db8:aaaa:bbbb:cccc:dddd:eeee:1', '2001:db8:aaaa:bbbb::/64'],
  ['2001:db8:0:0:0::1', '2001:db8:0:0::/64'],
  ['2001:db8::1', '2001:db8:0:0::/64'],
  // Source: RFC 4291, section 2.2
  ['ABCD:EF01:2345:6789:ABCD:EF01:2345:6789', 'abcd:ef01:2345:6789::/64'],
  ['FF01::101', 'ff01:0:0:0::/64'],
  ['::1', '0:0:0:0::/64'],
  ['::', '0:0:0:0::/64'],
  ['::13.1.68.3', '0:0:0:0::/64'],
  // Source: RFC 4291, sections 2.2 and 2.5.5.2: IPv4-mapped
  ['::FFFF:129.144.52.38', '129.144.52.38'],
  ['0:0:0:0:0:FFFF:129.144.52.38', '129.144.52.38'],
  // The same in hexadecimal, RFC 4291, section 2.2, form 1: 129.144 is 0x8190, 52.38 is 0x3426
  ['::ffff:8190:3426', '129.144.52.38'],
  ['129.144.52.38', '129.144.52.38'],
  // Looks like a mapped one and is none: the ones stand elsewhere
  ['::ffff:0:8190:3426', '0:0:0:0::/64'],
  // Source: RFC 4007, section 11.2: the zone after a percent sign
  ['fe80::1234%eth0', 'fe80:0:0:0::/64'],
  ['::ffff:129.144.52.38%1', '129.144.52.38'],
  // Source: RFC 5952, section 6: a port, after brackets
  ['[2001:db8::1]:80', '2001:db8:0:0::/64'],
  ['[2001:db8::1]', '2001:db8:0:0::/64'],
  ['192.0.2.1:80', '192.0.2.1'],
  [' 192.0.2.1 ', '192.0.2.1'],
])('%s is counted as %s', (text, place) => {
  expect(placeOf(text)).toBe(place);
});

test.each([
  '',
  'unknown',
  '_hidden',
  '1.2.3',
  '1.2.3.4.5',
  '256.1.1.1',
  '01.2.3.4',
  '1:2:3:4:5:6:7',
  '1:2:3:4:5:6:7:8:9',
  '1::2::3',
  ':::',
  '2001:db8::g',
  '::ffff:1.2.3',
  '[::1',
  '[1.2.3.4]x:80',
  '2001:db8::/64',
  ':'.repeat(100_000),
  '1.'.repeat(100_000),
])('what is no address is in no place: %s', (text) => {
  expect(placeOf(text)).toBeUndefined();
});
