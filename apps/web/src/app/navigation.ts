import type { Role } from "@heelward/domain/access";
import {
  CalendarClock,
  CalendarRange,
  Clock3,
  ChartColumn,
  ClipboardList,
  FolderOpen,
  HeartPulse,
  History,
  House,
  Leaf,
  MailOpen,
  PenLine,
  Route,
  Settings2,
  Smartphone,
  Sunrise,
  UsersRound,
} from "lucide-react";
import type { ComponentType, SVGProps } from "react";
import type { Catalogue } from "../language/catalogue.ts";
import { Horseshoe } from "./horseshoe.tsx";

type Icon = ComponentType<SVGProps<SVGSVGElement>>;

export interface NavigationItem {
  readonly path: string;
  readonly label: keyof Catalogue["shell"]["nav"];
  readonly icon: Icon;
}

const item = (path: string, label: NavigationItem["label"], icon: Icon): NavigationItem => ({
  path,
  label,
  icon,
});

const queue = item("/", "queue", ClipboardList);
const morning = item("/morning", "morning", Sunrise);
const signing = item("/signing", "signing", PenLine);
const outcomes = item("/outcomes", "outcomes", ChartColumn);
const care = item("/care", "care", HeartPulse);
const routes = item("/routes", "routes", Route);
const day = item("/day", "day", Smartphone);
const cases = item("/cases", "cases", FolderOpen);
const horses = item("/horses", "horses", Horseshoe);
const handoffs = item("/handoffs", "handoffs", MailOpen);
const resets = item("/resets", "resets", CalendarClock);
const planning = item("/planning", "planning", CalendarRange);
const rota = item("/rota", "rota", Clock3);
const season = item("/season", "season", Leaf);
const yards = item("/yards", "yards", House);
const people = item("/people", "people", UsersRound);
const audit = item("/audit", "audit", History);
const settings = item("/settings", "settings", Settings2);

/** The menu of each role, most used first: a phone shows the first four and keeps the rest under More. */
export const NAVIGATION: Readonly<Record<Role, readonly NavigationItem[]>> = {
  vet: [
    queue,
    morning,
    signing,
    cases,
    horses,
    handoffs,
    resets,
    planning,
    rota,
    season,
    outcomes,
    yards,
    people,
    settings,
    audit,
  ],
  farrier: [queue, day, handoffs, horses, routes, resets, rota, cases, yards, people],
  manager: [
    queue,
    resets,
    horses,
    handoffs,
    outcomes,
    planning,
    rota,
    cases,
    season,
    yards,
    people,
    settings,
    audit,
  ],
  carer: [care, queue, horses, handoffs, cases, yards, people],
  owner: [item("/portal", "portal", HeartPulse)],
};
