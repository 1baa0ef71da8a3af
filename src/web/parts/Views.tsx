import type { ReactNode } from 'react';
import { Tab, TabList, TabPanel, Tabs } from 'react-aria-components';
import { useSearchParams } from 'wouter';

type View = { readonly id: string; readonly name: string; readonly content: () => ReactNode };

/** The views of one thing, side by side. Which one is open stands in the address. */
export function Views({ label, views }: { label: string; views: readonly View[] }) {
  const [search, setSearch] = useSearchParams();
  const open = views.find(({ id }) => id === search.get('view')) ?? views[0]!;
  return (
    <Tabs
      className="stack"
      selectedKey={open.id}
      onSelectionChange={(id) =>
        setSearch((before) => {
          before.set('view', String(id));
          return before;
        })
      }
    >
      <TabList aria-label={label}>
        {views.map(({ id, name }) => (
          <Tab key={id} id={id}>
            {name}
          </Tab>
        ))}
      </TabList>
      {/* By its key it is another panel: the id that its tab points at is given only once. */}
      <TabPanel key={open.id} id={open.id} className="stack">
        {open.content()}
      </TabPanel>
    </Tabs>
  );
}
