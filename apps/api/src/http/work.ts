import type { Signer } from "../records/signer.ts";
import type { BlobStore } from "../blobs/blob-store.ts";
import type { AuditNote } from "../records/audit.ts";
import type { Transaction } from "../database/client.ts";
import type { Actor } from "./actor.ts";
import type { Arrival } from "./arrival.ts";

/** What a service function works with: one transaction, one actor, one reading of the clock. */
export interface Work {
  readonly tx: Transaction;
  readonly actor: Actor;
  /** Server time of this request, epoch ms. */
  readonly nowMs: number;
  readonly requestId: string;
  /** When the client says it happened on the phone, if it queued the request. */
  readonly clientTime: string | null;
  /** What a device says of a write it had to keep for want of signal; null for all others. */
  readonly arrival: Arrival | null;
  readonly blobs: BlobStore;
  readonly signer: Signer;
  /** Notes what happened; written to the chain in the same transaction. A write without one fails. */
  readonly audit: (note: AuditNote) => void;
  /** Says which lists changed, to whoever is watching, once the transaction is durable. */
  readonly announce: (topic: string) => void;
  /**
   * Kept even though the request is refused: runs in a transaction of its own after the roll-back.
   * For refusals that belong to the record, such as a dose over the limit.
   */
  readonly keepRefusal: (keep: (work: Work) => Promise<void>) => void;
}

/** A file that came with the request. */
export interface UploadedFile {
  readonly fileName: string;
  readonly mediaType: string;
  readonly bytes: Uint8Array;
}
