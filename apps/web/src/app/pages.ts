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
  page("/devices", ROLES, () =>
    import("../features/session/devices-page.tsx").then((m) => m.DevicesPage),
  ),
  page("/components", ROLES, () => import("./components-page.tsx").then((m) => m.ComponentsPage)),
];
void [STAFF, OFFICE];
