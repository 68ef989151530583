import { CircleDot } from "lucide-react";
import { useTranslation } from "react-i18next";
import { Card } from "../../components/card.tsx";
import { ListView } from "../../components/list-view.tsx";
import { EmptyState } from "../../components/states.tsx";
import { Timeline } from "../../components/timeline.tsx";
import { useTimeline } from "./queries.ts";
import { timelineItems } from "./timeline-items.tsx";

/** Everything that happened, newest first. */
export const TimelineTab = ({ caseId }: { readonly caseId: string }) => {
  const { t } = useTranslation("cases");
  const events = useTimeline(caseId);
  return (
    <Card>
      <ListView
        query={events}
        empty={<EmptyState icon={<CircleDot aria-hidden />} title={t("noEvents")} />}
      >
        {(items) => <Timeline items={timelineItems(items)} />}
      </ListView>
    </Card>
  );
};
