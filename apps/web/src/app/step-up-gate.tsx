import { lazy, Suspense, useEffect, useRef, useState } from "react";
import { onStepUp } from "../api/step-up.ts";

const StepUpDialog = lazy(() =>
  import("./step-up-dialog.tsx").then((m) => ({ default: m.StepUpDialog })),
);

/** Listens for signing and asks for the password when the service wants it. */
export const StepUpGate = () => {
  const [isOpen, setOpen] = useState(false);
  const answer = useRef<(confirmed: boolean) => void>(undefined);
  useEffect(
    () =>
      onStepUp(() => {
        setOpen(true);
        return new Promise((resolve) => {
          answer.current = resolve;
        });
      }),
    [],
  );
  if (!isOpen) return null;
  return (
    <Suspense fallback={null}>
      <StepUpDialog
        onAnswer={(confirmed) => {
          setOpen(false);
          answer.current?.(confirmed);
        }}
      />
    </Suspense>
  );
};
