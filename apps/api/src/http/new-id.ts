import { v7 } from "uuid";

/** A new row id: time-ordered (UUID version 7, RFC 9562), so that indexes grow at one end. */
export const newId = (): string => v7();
