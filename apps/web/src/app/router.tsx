import {
  createRootRoute,
  createRoute,
  createRouter,
  lazyRouteComponent,
  Outlet,
} from "@tanstack/react-router";
import { Suspense } from "react";
import { ErrorState, Skeleton } from "../components/states.tsx";
import { PAGES, type Page, type PageComponent } from "./pages.ts";
import { ForRoles, NotFound } from "./refusals.tsx";
import { SignedIn } from "./signed-in.tsx";

const asError = (thrown: unknown): Error =>
  thrown instanceof Error ? thrown : new Error(String(thrown));

const root = createRootRoute({ component: Outlet, notFoundComponent: NotFound });

const lazy = (load: () => Promise<PageComponent>) =>
  lazyRouteComponent(async () => ({ default: await load() }));

/** The page for the roles it is meant for; a refusal in words for the others. */
const guarded = ({ roles, load }: Page) =>
  lazy(async () => {
    const Content = await load();
    return () => (
      <ForRoles roles={roles}>
        <Content />
      </ForRoles>
    );
  });

const open = (path: string, load: () => Promise<PageComponent>) =>
  createRoute({
    getParentRoute: () => root,
    path,
    component: lazy(load),
  });

const signedIn = createRoute({ getParentRoute: () => root, id: "signed-in", component: SignedIn });

const tree = root.addChildren([
  open("/sign-in", () => import("../features/session/sign-in-page.tsx").then((m) => m.SignInPage)),
  open("/invitation/$token", () =>
    import("../features/session/accept-invitation-page.tsx").then((m) => m.AcceptInvitationPage),
  ),
  open("/new-password", () =>
    import("../features/session/new-password-page.tsx").then((m) => m.AskForNewPasswordPage),
  ),
  open("/new-password/$token", () =>
    import("../features/session/new-password-page.tsx").then((m) => m.NewPasswordPage),
  ),
  open("/reminder/$token", () =>
    import("../features/reminder/reminder-page.tsx").then((m) => m.ReminderPage),
  ),
  signedIn.addChildren(
    PAGES.map((page) =>
      createRoute({
        getParentRoute: () => signedIn,
        path: page.path,
        component: guarded(page),
      }),
    ),
  ),
]);

export const router = createRouter({
  routeTree: tree,
  defaultPreload: false,
  scrollRestoration: true,
  defaultPendingMs: 300,
  defaultPendingComponent: () => <Skeleton lines={6} />,
  defaultErrorComponent: ({ error, reset }) => (
    <ErrorState error={asError(error)} onRetry={reset} />
  ),
  defaultNotFoundComponent: NotFound,
  Wrap: ({ children }) => <Suspense fallback={null}>{children}</Suspense>,
});
