/** An error and what it came from, as deep as the database layer wraps it. */
const chainOf = (error: unknown): readonly Readonly<Record<string, unknown>>[] => {
  const chain: Readonly<Record<string, unknown>>[] = [];
  let current: unknown = error;
  while (typeof current === "object" && current !== null && chain.length < 6) {
    const one = current as Readonly<Record<string, unknown>>;
    chain.push(one);
    const meta = one["meta"] as { readonly driverAdapterError?: unknown } | undefined;
    current = one["cause"] ?? meta?.driverAdapterError;
  }
  return chain;
};
const wordsOf = (error: unknown, keys: readonly string[]): readonly string[] =>
  chainOf(error).flatMap((one) =>
    keys.map((key) => one[key]).filter((word) => typeof word === "string"),
  );

/** SQLSTATE inside whatever the database layer throws. */
export const sqlState = (error: unknown): string | undefined =>
  wordsOf(error, ["originalCode", "code"]).find((word) => /^[0-9A-Z]{5}$/u.test(word));

/**
 * SQLSTATEs of a server that is going, coming, or has given up on this session: connection
 * exceptions, shutdown and crash, too many connections, a statement or a transaction it no longer
 * waits for. source: PostgreSQL manual, appendix A.
 */
const AWAY_STATES = /^(?:08...|57P0[1-5]|53300|57014|25P0[34])$/u;
const AWAY_CODES =
  /^(?:ECONNREFUSED|ECONNRESET|ECONNABORTED|EPIPE|ETIMEDOUT|EHOSTUNREACH|ENETUNREACH|P1001|P1002|P1008|P1017|P2024|DatabaseNotReachable|ConnectionClosed|SocketTimeout|TooManyConnections)$/u;
const AWAY_WORDS =
  /timeout exceeded when trying to connect|query read timeout|connection terminated|connection ended|client was closed|client has encountered a connection error|can't reach database server|database system is (?:starting up|shutting down|not yet accepting)/iu;

/** Whether the database did not answer: down, coming back, or behind a cut or silent line. */
export const isDatabaseAway = (error: unknown): boolean =>
  wordsOf(error, ["originalCode", "code", "kind"]).some(
    (word) => AWAY_STATES.test(word) || AWAY_CODES.test(word),
  ) || wordsOf(error, ["message", "originalMessage"]).some((word) => AWAY_WORDS.test(word));

/** Whether a disk, a quota or the largest size of a file was met, by the files or the database. */
export const isOutOfRoom = (error: unknown): boolean =>
  wordsOf(error, ["originalCode", "code"]).some((word) =>
    ["ENOSPC", "EDQUOT", "EFBIG", "53100"].includes(word),
  );
