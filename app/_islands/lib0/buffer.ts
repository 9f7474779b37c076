/** Of lib0's `buffer` what browsers use here; the rest names Node's Buffer, and would bring a copy of it along. */
export function copyUint8Array(bytes: Uint8Array): Uint8Array {
  return Uint8Array.from(bytes);
}
