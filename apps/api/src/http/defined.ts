/** An object without the keys whose value is `undefined`: what was left out stays out. */
export const defined = <T extends object>(
  input: T,
): { [K in keyof T]?: Exclude<T[K], undefined> } =>
  Object.fromEntries(Object.entries(input).filter(([, value]) => value !== undefined)) as {
    [K in keyof T]?: Exclude<T[K], undefined>;
  };
