/** What Yjs says of itself in any script that it is in, however it was compressed. Source: yjs 13.6, src/index.js */
export const YJS = '__ $YJS$ __';
