import type { SecondFactor } from "@heelward/contracts";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { call } from "../api/client.ts";
import type { Answer } from "../api/operations.ts";
import { ProblemError } from "../api/problem-error.ts";
import { askPasskey } from "./passkeys.ts";

interface Account {
  readonly email: string;
  readonly password: string;
}

/** With what the second step can be taken. */
export interface Asked {
  readonly ways: readonly string[];
  readonly passkeyOptions: Record<string, unknown> | null;
}

const askedIn = (error: unknown): Asked | undefined =>
  error instanceof ProblemError && error.slug === "second-factor-required"
    ? { ways: error.body.ways ?? [], passkeyOptions: error.body.passkeyOptions ?? null }
    : undefined;

/** What the service asks for once the password fits; nothing when it asks for nothing. */
const askAgain = async (account: Account): Promise<Asked | undefined> => {
  try {
    await call("signIn", { body: account });
    return undefined;
  } catch (error) {
    const asked = askedIn(error);
    if (asked === undefined) throw error;
    return asked;
  }
};

/**
 * Signs in with e-mail and password and, where the account has one, a second factor. `asked` is what
 * the second step may be taken with; nothing until the password was accepted.
 */
export const useSignIn = (account: Account, onSession: (answer: Answer<"signIn">) => void) => {
  const [asked, setAsked] = useState<Asked>();
  const send = useMutation({
    mutationFn: (secondFactor: SecondFactor | undefined) =>
      call("signIn", {
        body: { ...account, ...(secondFactor === undefined ? {} : { secondFactor }) },
      }),
    onSuccess: onSession,
    onError: (error) => setAsked((before) => askedIn(error) ?? before),
  });
  const withPasskey = useMutation({
    mutationFn: async () => {
      // A challenge is good for one try, so each try asks for one of its own.
      const fresh = await askAgain(account);
      if (fresh?.passkeyOptions === undefined || fresh.passkeyOptions === null)
        throw new Error("no passkey was asked for");
      return call("signIn", {
        body: {
          ...account,
          secondFactor: { kind: "passkey", answer: await askPasskey(fresh.passkeyOptions) },
        },
      });
    },
    onSuccess: onSession,
  });
  const error = withPasskey.error ?? send.error;
  return {
    asked,
    problem: askedIn(error) === undefined ? error : null,
    isBusy: send.isPending || withPasskey.isPending,
    sendPassword: () => send.mutate(undefined),
    sendCode: (code: string) => {
      withPasskey.reset();
      send.mutate({ kind: "code", code });
    },
    sendPasskey: () => {
      send.reset();
      withPasskey.mutate();
    },
    startOver: () => {
      setAsked(undefined);
      send.reset();
      withPasskey.reset();
    },
  };
};
