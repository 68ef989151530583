import { useEffect, useState } from "react";

const PAUSE_MS = 350;

/** A value once it has rested, so that a check is not asked for at every key. */
export const useRested = <T>(value: T): T => {
  const [rested, setRested] = useState(value);
  useEffect(() => {
    const timer = setTimeout(() => setRested(value), PAUSE_MS);
    return () => clearTimeout(timer);
  }, [value]);
  return rested;
};
