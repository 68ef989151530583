import { useQueryClient } from "@tanstack/react-query";
import { call } from "../api/client.ts";
import { useGo } from "./use-address.ts";

/** Ends the session, forgets what was read, and shows the sign-in. */
export const useSignOut = (): (() => Promise<void>) => {
  const client = useQueryClient();
  const go = useGo();
  return async () => {
    // Signing out must work even when the session is gone already.
    await call("signOut", {}).catch(() => undefined);
    client.clear();
    go("/sign-in");
  };
};
