import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { useGo } from "../../app/use-address.ts";
import { Card } from "../../components/card.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { HorseForm } from "./horse-form.tsx";

export const NewHorsePage = () => {
  const { t } = useTranslation("horses");
  const go = useGo();
  const add = useWrite("addHorse");
  return (
    <>
      <PageHeader title={t("add")} back={{ href: "/horses", label: t("title") }} />
      <Card>
        <HorseForm
          problem={add.error}
          isBusy={add.isPending}
          onCancel={() => go("/horses")}
          onSave={(body) =>
            add.mutate({ body }, { onSuccess: (horse) => go(`/horses/${horse.id}`) })
          }
        />
      </Card>
    </>
  );
};
