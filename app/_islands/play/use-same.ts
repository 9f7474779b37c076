import { useState } from 'react';

/** The value, as the same object for as long as it says the same. */
export function useSame<T>(value: T): T {
  const key = JSON.stringify(value);
  const [held, setHeld] = useState({ key, value });
  if (held.key === key) return held.value;
  setHeld({ key, value });
  return value;
}
