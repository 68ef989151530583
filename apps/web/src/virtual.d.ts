declare module "virtual:operation-table" {
  /** Method, path, and flags: `k` sends an Idempotency-Key, `u` is an upload, `b` answers bytes. */
  export const OPERATION_TABLE: Readonly<
    Record<string, readonly [method: string, path: string, flags: string] | undefined>
  >;
}
