// The part of the S3-compatible test server that the tests use; the package carries no types.
declare module "s3rver" {
  import type { AddressInfo } from "node:net";

  interface S3rverOptions {
    /** 0 takes any free port. */
    readonly port: number;
    readonly silent: boolean;
    /** Where the objects are kept. */
    readonly directory: string;
    readonly configureBuckets: readonly { readonly name: string; readonly configs: string[] }[];
  }

  export default class S3rver {
    constructor(options: S3rverOptions);
    /** Starts listening; resolves with the address taken. */
    run(): Promise<AddressInfo>;
    close(): Promise<void>;
  }
}
