import {
  createRootRoute,
  createRoute,
  createRouter,
  lazyRouteComponent,
  Outlet,
} from "@tanstack/react-router";
import { Suspense } from "react";
import { ErrorState, Skeleton } from "../components/states.tsx";
import { fetchWords } from "../language/language.ts";
import { OPEN_PAGES, PAGES, type Page, type PageComponent } from "./pages.ts";
import { ForRoles, NotFound } from "./refusals.tsx";
import { SignedIn } from "./signed-in.tsx";

const asError = (thrown: unknown): Error =>
  thrown instanceof Error ? thrown : new Error(String(thrown));

const root = createRootRoute({ component: Outlet, notFoundComponent: NotFound });

const lazy = (load: () => Promise<PageComponent>) =>
  lazyRouteComponent(async () => ({ default: await load() }));

/** The page's code and its words, fetched side by side. */
const withWords = async ({ load, words = [] }: Omit<Page, "roles">): Promise<PageComponent> => {
  const [Content] = await Promise.all([load(), fetchWords(words)]);
  return Content;
};

/** The page for the roles it is meant for; a refusal in words for the others. */
const guarded = (page: Page) =>
  lazy(async () => {
    const Content = await withWords(page);
    return () => (
      <ForRoles roles={page.roles}>
        <Content />
      </ForRoles>
    );
  });

const signedIn = createRoute({ getParentRoute: () => root, id: "signed-in", component: SignedIn });

const tree = root.addChildren([
  ...OPEN_PAGES.map((page) =>
    createRoute({
      getParentRoute: () => root,
      path: page.path,
      component: lazy(() => withWords(page)),
    }),
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
