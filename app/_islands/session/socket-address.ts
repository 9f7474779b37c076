/** Where this page's own server takes sockets. @param path from the root, with its query */
export function socketAddress(path: string): string {
  const scheme = location.protocol === 'https:' ? 'wss' : 'ws';
  return `${scheme}://${location.host}${path}`;
}
