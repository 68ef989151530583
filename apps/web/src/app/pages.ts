import { ROLES, type Role } from "@heelward/domain/access";
import type { ReactNode } from "react";

export type PageComponent = () => ReactNode;

export interface Page {
  /** Below the signed-in frame; `$name` is a part of the address. */
  readonly path: string;
  readonly roles: readonly Role[];
  readonly load: () => Promise<PageComponent>;
}

const STAFF: readonly Role[] = ["vet", "farrier", "manager", "carer"];
const OFFICE: readonly Role[] = ["vet", "manager"];

const page = (path: string, roles: readonly Role[], load: () => Promise<PageComponent>): Page => ({
  path,
  roles,
  load,
});

/**
 * Every page behind the sign-in, one line each, its code loaded when it is asked for. A page that
 * stands in `NAVIGATION` shows up in the menu once it stands here.
 */
export const PAGES: readonly Page[] = [
  page("/", ROLES, () => import("../features/queues/queue-page.tsx").then((m) => m.QueuePage)),
  page("/horses", STAFF, () =>
    import("../features/horses/horses-page.tsx").then((m) => m.HorsesPage),
  ),
  page("/horses/new", OFFICE, () =>
    import("../features/horses/new-horse-page.tsx").then((m) => m.NewHorsePage),
  ),
  page("/horses/$horseId", STAFF, () =>
    import("../features/horses/horse-page.tsx").then((m) => m.HorsePage),
  ),
  page("/yards", STAFF, () => import("../features/yards/yards-page.tsx").then((m) => m.YardsPage)),
  page("/yards/new", OFFICE, () =>
    import("../features/yards/new-yard-page.tsx").then((m) => m.NewYardPage),
  ),
  page("/yards/$yardId", STAFF, () =>
    import("../features/yards/yard-page.tsx").then((m) => m.YardPage),
  ),
  page("/people", STAFF, () =>
    import("../features/people/people-page.tsx").then((m) => m.PeoplePage),
  ),
  page("/devices", ROLES, () =>
    import("../features/session/devices-page.tsx").then((m) => m.DevicesPage),
  ),
  page("/components", ROLES, () => import("./components-page.tsx").then((m) => m.ComponentsPage)),
];
