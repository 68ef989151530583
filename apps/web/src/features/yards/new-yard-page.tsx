import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { useGo } from "../../app/use-address.ts";
import { Card } from "../../components/card.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { YardForm } from "./yard-form.tsx";

export const NewYardPage = () => {
  const { t } = useTranslation("yards");
  const go = useGo();
  const add = useWrite("addYard");
  return (
    <>
      <PageHeader title={t("add")} back={{ href: "/yards", label: t("title") }} />
      <Card>
        <YardForm
          problem={add.error}
          isBusy={add.isPending}
          onCancel={() => go("/yards")}
          onSave={(body) => add.mutate({ body }, { onSuccess: (yard) => go(`/yards/${yard.id}`) })}
        />
      </Card>
    </>
  );
};
