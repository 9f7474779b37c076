import { isIPv4, isIPv6 } from 'node:net';

/** An IPv6 address as eight groups of 16 bits; undefined for what is none. */
function groupsOf(address: string): readonly number[] | undefined {
  if (!isIPv6(address)) return undefined;
  const [plain = ''] = address.split('%');
  // The last 32 bits may be written as IPv4. Source: RFC 4291, section 2.2, form 3.
  const hex = plain.replace(/(\d+)\.(\d+)\.(\d+)\.(\d+)$/, (_, a, b, c, d) =>
    [Number(a) * 256 + Number(b), Number(c) * 256 + Number(d)]
      .map((group) => group.toString(16))
      .join(':'),
  );
  const [head = [], tail] = hex.split('::').map((part) => (part ? part.split(':') : []));
  const zeros = tail ? new Array<string>(8 - head.length - tail.length).fill('0') : [];
  return [...head, ...zeros, ...(tail ?? [])].map((group) => Number.parseInt(group, 16));
}

/** ::ffff:a.b.c.d, as a socket that takes both kinds names an IPv4 address. Source: RFC 4291, section 2.5.5.2. */
function isMapped(groups: readonly number[]): boolean {
  return groups.slice(0, 5).every((group) => group === 0) && groups[5] === 0xffff;
}

/** The address alone, of a text in which a proxy may have put it in brackets or named a port: `[2001:db8::1]:443`, `192.0.2.1:443`. */
function withoutPort(text: string): string {
  const named = /^\[([^\]]*)\](?::\d+)?$/.exec(text) ?? /^([\d.]+):\d+$/.exec(text);
  return named?.[1] ?? text;
}

/**
 * What is counted as one place from which people come: an IPv4 address, or the /64 of an IPv6 one, since a site has at least so much and
 * its machines change the rest at will. Source: RFC 4291, section 2.5.4 (64 bits of interface); RFC 6177, section 2 (sites get a /64 or more).
 * @returns the same text for each way of writing it; undefined for what is no address
 */
export function placeOf(text: string): string | undefined {
  const address = withoutPort(text.trim());
  // Node takes no IPv4 with zeros in front or of fewer parts, so there is one way of writing it.
  if (isIPv4(address)) return address;
  const groups = groupsOf(address);
  if (!groups) return undefined;
  const [high = 0, low = 0] = groups.slice(6);
  if (isMapped(groups)) return [high >> 8, high & 0xff, low >> 8, low & 0xff].join('.');
  const prefix = groups.slice(0, 4).map((group) => group.toString(16));
  return `${prefix.join(':')}::/64`;
}
