import { useRouter } from "@tanstack/react-router";
import { useEffect } from "react";
import { ProblemError } from "../api/problem-error.ts";
import { ErrorState, Skeleton } from "../components/states.tsx";
import { lazyPart } from "../components/lazy-part.tsx";
import { CurrentSession, useSessionQuery } from "./current-session.tsx";
import styles from "./shell.module.css";
import { Shell } from "./shell.tsx";

const EnrolPage = lazyPart(() =>
  import("../features/session/enrol-page.tsx").then((m) => m.EnrolPage),
);

/** Everything behind the sign-in: asks who is there, and sends strangers to the sign-in page. */
export const SignedIn = () => {
  const session = useSessionQuery();
  const router = useRouter();
  const { error } = session;
  const isStranger = error instanceof ProblemError && error.slug === "unauthenticated";
  useEffect(() => {
    if (!isStranger) return;
    const { pathname, search } = router.history.location;
    const next = `${pathname}${search}`;
    router.history.replace(next === "/" ? "/sign-in" : `/sign-in?next=${encodeURIComponent(next)}`);
  }, [isStranger, router]);
  if (isStranger) return null;
  if (session.data !== undefined)
    return (
      <CurrentSession key={session.data.person.id} session={session.data}>
        {session.data.mustEnrol ? <EnrolPage /> : <Shell />}
      </CurrentSession>
    );
  return (
    <main className={styles["main"]}>
      {error === null ? (
        <Skeleton lines={6} />
      ) : (
        <ErrorState error={error} onRetry={() => void session.refetch()} />
      )}
    </main>
  );
};
