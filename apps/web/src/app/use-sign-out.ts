import { useQueryClient } from "@tanstack/react-query";
import { call } from "../api/client.ts";
import { useGo } from "./use-address.ts";

/**
 * Ends the session, forgets what was read and what lies on the device, and shows the sign-in. Where
 * records wait on the device, the person is asked first.
 */
export const useSignOut = ({
  losesUnsent = false,
}: { readonly losesUnsent?: boolean } = {}): (() => Promise<void>) => {
  const client = useQueryClient();
  const go = useGo();
  return async () => {
    const { countUnsent, forgetDevice } = await import("../offline/start.ts");
    if (!losesUnsent && (await countUnsent()) > 0) {
      // The menu it was asked from would lie over the question.
      document.querySelector<HTMLElement>("#account-menu:popover-open")?.hidePopover();
      go("/outbox?leaving=yes");
      return;
    }
    await forgetDevice();
    // Signing out must work even when the session is gone already.
    await call("signOut", {}).catch(() => undefined);
    client.clear();
    go("/sign-in");
  };
};
