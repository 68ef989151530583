import { Printer } from "lucide-react";
import { useTranslation } from "react-i18next";
import { useParam } from "../../app/use-address.ts";
import { Button } from "../../components/button.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { useSharedSheet } from "./queries.ts";
import { RingFirst, SheetNotes, Steps } from "./sheet-parts.tsx";
import styles from "./sheet.module.css";

/** A first-aid sheet by its link: no sign-in, one page of paper. */
export const SharedSheetPage = () => {
  const { t } = useTranslation(["firstAid", "common"]);
  const format = useFormat();
  const sheet = useSharedSheet(useParam("token"));
  return (
    <main className={styles["page"]}>
      <QueryView query={sheet} lines={8}>
        {(data) => (
          <div className={styles["sheet"]}>
            <PageHeader
              title={t("sheetOf", { horse: data.horseName })}
              lead={t("writtenAt", { when: format.shortDateTime(data.writtenAt) })}
              actions={
                <Button icon={<Printer aria-hidden />} onClick={() => window.print()}>
                  {t("common:print")}
                </Button>
              }
            />
            <RingFirst phone={data.phone} />
            <Steps steps={data.steps} />
            <SheetNotes sheet={data} />
          </div>
        )}
      </QueryView>
    </main>
  );
};
