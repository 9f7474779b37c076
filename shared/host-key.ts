/** Where the server's entry leaves its door for the pages, which live in another module graph of the same process. */
export const HOST_KEY = Symbol.for('passround.host');

/** The header in which the server's entry tells pages where a request came from; what came from outside under that name is overwritten. */
export const ADDRESS_HEADER = 'x-passround-address';
