/**
 * Version of the wire: message kinds, their schemas and the document schema. A test pins a fingerprint of all of them to
 * this number, so that nobody changes the wire by accident.
 *
 * 1: y-websocket's sync and awareness for `lead`; `document` for the other documents; `word` for time, welcome, refusal, acts and what is late.
 * 2: a socket that is opened with `?for=play` is sent no documents, but the word `play`.
 * 3: who has a board open that is deleted, or comes back to one, is told `deleted`.
 * 4: moments are dates; texts and names of measures are read more strictly, by page and server alike.
 * 5: who sends too much is told `too-busy` before their socket closes.
 */
export const WIRE_VERSION = 5;
