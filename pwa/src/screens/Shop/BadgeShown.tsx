/** A new badge, shown this once: print it, or write it down, and sign on. */
import { signOn } from "../../actions/signOn.ts";
import { signedOn } from "../../current.ts";
import { shop } from "../../facts/people.ts";
import { useAct } from "../../ui/act.ts";
import { Button, Dock } from "../../ui/Dock.tsx";
import { Refusal } from "../../ui/Notice.tsx";
import { Page } from "../../ui/Page.tsx";
import { PrintButton } from "../parts/print/PrintButton.tsx";
import { go } from "../route.ts";
import { type NewBadge, newBadge, roleName } from "./newBadge.ts";

const GROUP = 5;
const HALF = 10;

export function BadgeShown({ made }: { readonly made: NewBadge }) {
  const { problem, run } = useAct();
  const isFirst = signedOn.value === null;
  const fields = {
    code: made.badge,
    name: made.name.slice(0, 60),
    role: roleName(made.role),
    shop: (shop().shop_name ?? "").slice(0, 60),
  };
  const finish = async (): Promise<void> => {
    if (isFirst && !(await run(() => signOn(made.badge)))) return;
    newBadge.value = null;
    if (isFirst) go("scan", "replace");
  };
  return (
    <>
      <Page title={`Badge of ${made.name}`} above={`${roleName(made.role)}, ${made.staff}`}>
        <p class="big">
          This code is shown only now. Print the badge, or write the code down; a lost badge is replaced by a new one.
        </p>
        <p class="shop-badge code">
          {groups(made.badge.slice(0, HALF))}
          <br />
          {groups(made.badge.slice(HALF))}
        </p>
        <PrintButton labels={[{ kind: "badge", fields, code: made.badge }]}>Print the badge</PrintButton>
        {problem !== null && <Refusal problem={problem} />}
      </Page>
      <Dock>
        <Button onPress={finish} tone="main">
          {isFirst ? "Sign on with it" : "I have it"}
        </Button>
      </Dock>
    </>
  );
}

const groups = (code: string): string => code.match(new RegExp(`.{1,${GROUP}}`, "g"))?.join(" ") ?? code;
