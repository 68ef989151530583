declare module "virtual:operation-table" {
  /** Method, path, and flags: `k` sends an Idempotency-Key, `u` is an upload, `b` answers bytes; what it is about. */
  export const OPERATION_TABLE: Readonly<
    Record<string, readonly [method: string, path: string, flags: string, tag: string] | undefined>
  >;
}
