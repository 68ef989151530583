import type { Dependencies } from "../app.ts";
import type { Sealer } from "../mail/sealer.ts";

/** What secrets at rest are sealed with. @throws Error when the service was built without. */
export const sealerOf = ({ mail }: Pick<Dependencies, "mail">): Sealer => {
  if (mail === undefined) throw new Error("the service has nothing to seal secrets with");
  return mail.sealer;
};

/** An answer that holds something shown once, as it is kept for a repeat of the request. */
export const sealAnswer = (sealer: Sealer, body: unknown, boundTo: string): unknown => ({
  sealed: sealer.seal(JSON.stringify(body ?? null), boundTo),
});

/** The answer again. @throws Error when it was changed or belongs to another request. */
export const openAnswer = (sealer: Sealer, kept: unknown, boundTo: string): unknown => {
  if (typeof kept !== "object" || kept === null || !("sealed" in kept)) return kept;
  return JSON.parse(sealer.open(String(kept.sealed), boundTo)) as unknown;
};
