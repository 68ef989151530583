import { useQueryClient } from "@tanstack/react-query";
import { lazy, Suspense, useEffect, useRef, useState } from "react";
import { onStepUp, type StepUpReason } from "../api/step-up.ts";
import { useGo } from "./use-address.ts";

const StepUpDialog = lazy(() =>
  import("./step-up-dialog.tsx").then((m) => ({ default: m.StepUpDialog })),
);

/** Listens for signing and for a session that ended, and asks for the password on the spot. */
export const StepUpGate = () => {
  const [reason, setReason] = useState<StepUpReason>();
  const answer = useRef<(confirmed: boolean) => void>(undefined);
  const client = useQueryClient();
  const go = useGo();
  useEffect(
    () =>
      onStepUp((why) => {
        setReason(why);
        return new Promise((resolve) => {
          answer.current = resolve;
        });
      }),
    [],
  );
  if (reason === undefined) return null;
  return (
    <Suspense fallback={null}>
      <StepUpDialog
        reason={reason}
        onAnswer={(confirmed) => {
          setReason(undefined);
          answer.current?.(confirmed);
          if (confirmed || reason === "signing") return;
          client.clear();
          go("/sign-in");
        }}
      />
    </Suspense>
  );
};
