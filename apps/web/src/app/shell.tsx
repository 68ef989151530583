import type { Role } from "@heelward/domain/access";
import { onlineManager, useQuery, useQueryClient } from "@tanstack/react-query";
import { Outlet, useRouterState } from "@tanstack/react-router";
import { Menu, WifiOff } from "lucide-react";
import { Suspense, useEffect, useRef, useSyncExternalStore } from "react";
import { useTranslation } from "react-i18next";
import { startLive } from "../api/live.ts";
import { read } from "../api/use-call.ts";
import { lazyPart } from "../components/lazy-part.tsx";
import { Link } from "../components/link.tsx";
import { Skeleton } from "../components/states.tsx";
import { AccountMenu } from "./account-menu.tsx";
import { useCurrent } from "./current-session.tsx";
import { HandOver } from "./hand-over.tsx";
import { Horseshoe } from "./horseshoe.tsx";
import { NAVIGATION, type NavigationItem } from "./navigation.ts";
import { PAGES } from "./pages.ts";
import { SearchButton } from "./search-button.tsx";
import styles from "./shell.module.css";
import { StepUpGate } from "./step-up-gate.tsx";

const OfflineBar = lazyPart(() => import("./offline-bar.tsx").then((m) => m.OfflineBar));

const isBelow = (path: string, pathname: string): boolean =>
  path === "/" ? pathname === "/" : pathname === path || pathname.startsWith(`${path}/`);

const useIsOnline = (): boolean =>
  useSyncExternalStore(
    (tell) => onlineManager.subscribe(tell),
    () => onlineManager.isOnline(),
  );

const useQueueCount = (): number => {
  const { role } = useCurrent();
  const queue = useQuery({
    ...read("readQueue", { query: { role } }),
    enabled: role !== "owner",
  });
  return queue.data?.items.length ?? 0;
};

const NavLink = ({
  item,
  count,
  className,
}: {
  readonly item: NavigationItem;
  readonly count: number;
  readonly className?: string | undefined;
}) => {
  const { t } = useTranslation("shell");
  const pathname = useRouterState({ select: (state) => state.location.pathname });
  const Icon = item.icon;
  return (
    <Link
      href={item.path}
      className={className}
      aria-current={isBelow(item.path, pathname) ? "page" : undefined}
    >
      <Icon aria-hidden />
      {t(`nav.${item.label}`)}
      {item.path === "/" && count > 0 ? (
        <span className={styles["count"]}>
          <span aria-hidden>{count}</span>
          <span className="only-read">{t("queueCount", { count })}</span>
        </span>
      ) : null}
    </Link>
  );
};

/** Keeps what is on screen up to date for as long as somebody is signed in. */
const useLive = () => {
  const client = useQueryClient();
  useEffect(() => startLive(client), [client]);
};

/** Those who work in yards without signal. */
const FIELD: readonly Role[] = ["farrier", "carer"];

/** Starts what works without signal, its code fetched when it is needed. */
const useOfflineStart = (isNeeded: boolean) => {
  const { session } = useCurrent();
  useEffect(() => {
    if (!isNeeded) return undefined;
    let [isOver, stop]: [boolean, (() => void) | undefined] = [false, undefined];
    void import("../offline/start.ts").then(async ({ startOffline }) => {
      if (isOver) return;
      const stopping = await startOffline(session);
      if (isOver) stopping();
      else stop = stopping;
    });
    return () => {
      isOver = true;
      stop?.();
    };
  }, [isNeeded, session]);
};

/** After going to another page, reading and the keyboard start at its top, as after a page load. */
const usePageFocus = () => {
  const pathname = useRouterState({ select: (state) => state.location.pathname });
  const before = useRef(pathname);
  useEffect(() => {
    if (before.current === pathname) return;
    before.current = pathname;
    document.getElementById("page")?.focus({ preventScroll: true });
  }, [pathname]);
};

const onPhone = 4;

const BottomNav = ({
  items,
  count,
}: {
  readonly items: readonly NavigationItem[];
  readonly count: number;
}) => {
  const { t } = useTranslation("shell");
  const more = useRef<HTMLDivElement>(null);
  const [shown, rest] = [items.slice(0, onPhone), items.slice(onPhone)];
  return (
    <nav className={styles["bottom"]} aria-label={t("mainMenu")}>
      {shown.map((item) => (
        <NavLink key={item.path} item={item} count={count} />
      ))}
      {rest.length === 0 ? null : (
        <>
          <button type="button" popoverTarget="more-menu">
            <Menu aria-hidden />
            {t("moreMenu")}
          </button>
          <div
            id="more-menu"
            ref={more}
            popover="auto"
            className={styles["sheetMenu"]}
            onClick={() => more.current?.hidePopover()}
            onKeyDown={undefined}
            role="presentation"
          >
            <div className={styles["nav"]}>
              {rest.map((item) => (
                <NavLink key={item.path} item={item} count={0} className={styles["navLink"]} />
              ))}
            </div>
          </div>
        </>
      )}
    </nav>
  );
};

/** The frame of every signed-in page: top bar, menu, and the page itself. */
export const Shell = () => {
  const { t } = useTranslation(["shell", "common"]);
  const { role, session } = useCurrent();
  const isOnline = useIsOnline();
  const isField = FIELD.includes(role);
  usePageFocus();
  useLive();
  useOfflineStart(isField);
  const count = useQueueCount();
  const items = NAVIGATION[role].filter((item) => PAGES.some((page) => page.path === item.path));
  return (
    <div className={styles["shell"]}>
      <a href="#page" className={styles["skip"]}>
        {t("skip")}
      </a>
      <header className={styles["top"]}>
        <Link href="/" className={styles["brand"]}>
          <Horseshoe aria-hidden />
          Heelward
        </Link>
        <span className={styles["practice"]}>{session.practice.name}</span>
        <span className={styles["spacer"]} />
        {role === "owner" ? null : <SearchButton />}
        {role === "carer" || role === "farrier" ? <HandOver /> : null}
        <AccountMenu />
      </header>
      <div className={styles["side"]}>
        <nav className={styles["nav"]} aria-label={t("mainMenu")}>
          {items.map((item) => (
            <NavLink key={item.path} item={item} count={count} className={styles["navLink"]} />
          ))}
        </nav>
        <aside className={styles["caution"]} aria-label={t("cautionLabel")}>
          {t("caution")}
        </aside>
      </div>
      <main id="page" tabIndex={-1} className={styles["main"]}>
        {isField ? (
          <OfflineBar />
        ) : isOnline ? null : (
          <output className={styles["offline"]}>
            <WifiOff aria-hidden />
            {t("common:offline")}
          </output>
        )}
        <Suspense fallback={<Skeleton lines={6} />}>
          <Outlet />
        </Suspense>
      </main>
      {items.length > 1 ? <BottomNav items={items} count={count} /> : null}
      <StepUpGate />
    </div>
  );
};
