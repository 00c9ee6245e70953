import { useEffect, useState } from 'preact/hooks';

/** A figure that moves by itself, read anew this often. */
export function useEvery<Value>(milliseconds: number, read: () => Value): Value {
  const [value, setValue] = useState(read);
  useEffect(() => {
    const timer = setInterval(() => setValue(read()), milliseconds);
    return () => clearInterval(timer);
  }, [milliseconds, read]);
  return value;
}
