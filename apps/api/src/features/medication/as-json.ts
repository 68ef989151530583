/** A value as a `jsonb` column takes it: without what JSON cannot hold. */
export const asJson = (value: unknown): object => JSON.parse(JSON.stringify(value)) as object;
