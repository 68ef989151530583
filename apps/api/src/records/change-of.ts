/**
 * What an edit did, for the audit entry: the fields it touched, as they were and as they are. The old
 * value is never lost.
 */
export const changeOf = (
  before: object,
  after: object,
): { readonly before: object; readonly after: object } => {
  const touched = Object.entries(after).filter(([, value]) => value !== undefined);
  const old = before as Readonly<Record<string, unknown>>;
  return {
    before: Object.fromEntries(touched.map(([key]) => [key, old[key] ?? null])),
    after: Object.fromEntries(touched),
  };
};
