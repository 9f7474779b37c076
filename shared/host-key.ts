/** Where the server's entry leaves its door for the pages, which live in another module graph of the same process. */
export const HOST_KEY = Symbol.for('passround.host');
