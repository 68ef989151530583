import type { TimelineEvent } from "@heelward/contracts";
import type { TimelineItem } from "../../components/timeline.tsx";
import { EventIcon } from "./event-icon.tsx";

const PAGES: Readonly<Record<string, string>> = {
  radiograph: "/films/",
  prescription: "/prescriptions/",
  firstAidSheet: "/first-aid-sheets/",
};

/** The page of what an event is about, where it has one. */
const hrefOf = ({ refType, refId }: TimelineEvent): string | undefined => {
  const page = refType === null ? undefined : PAGES[refType];
  return page === undefined || refId === null ? undefined : `${page}${refId}`;
};

/** Events of a case as lines of a timeline. */
export const timelineItems = (events: readonly TimelineEvent[]): readonly TimelineItem[] =>
  events.map((event) => ({
    id: event.id,
    at: event.at,
    title: event.title,
    detail: event.detail,
    who: event.person?.name ?? null,
    href: hrefOf(event),
    icon: <EventIcon kind={event.kind} />,
  }));
