import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { Link, useLocation, useSearchParams } from 'wouter';
import { api, faultAt, valueOf } from '../../api/client.ts';
import { boardQuery, productionsQuery } from '../../api/queries.ts';
import { Cautions } from '../../parts/Cautions.tsx';
import { dayText, momentText } from '../../parts/dates.ts';
import { Field } from '../../parts/Field.tsx';
import { Loading } from '../../parts/Loading.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { ProposalState } from '../../parts/ProposalState.tsx';
import { StateMark } from '../../parts/StateMark.tsx';
import { utilisationText } from '../../units/units.ts';
import { words } from '../../words.ts';
import { LateShows } from './LateShows.tsx';
import { csvOf, FILTERS, matches, type BoardRow } from './board-rows.ts';
import { PageHeading } from '../../parts/PageHeading.tsx';

/** Where the production lands: every show by date, and what stands in its way. */
export function TourPage() {
  const productions = useQuery(productionsQuery());
  const [search, setSearch] = useSearchParams();
  if (productions.isPending) return <Loading what={words.tour.title} />;
  if (productions.isLoadingError) return <ProblemPanel error={productions.error} onRetry={() => void productions.refetch()} />;
  const list = productions.data.items;
  const chosen = list.find(({ id }) => id === search.get('production')) ?? list[0];
  return (
    <div className="stack">
      <div className="row apart">
        <PageHeading name={chosen?.name ?? words.tour.title} />
        {list.length > 1 && (
          <label className="row">
            <span>{words.tour.production}</span>
            <select value={chosen?.id} onChange={(event) => setSearch({ production: event.target.value })}>
              {list.map(({ id, name }) => (
                <option key={id} value={id}>
                  {name}
                </option>
              ))}
            </select>
          </label>
        )}
      </div>
      {chosen ? <Board productionId={chosen.id} /> : <p className="soft">{words.tour.none}</p>}
      <NewProduction />
      <Cautions />
    </div>
  );
}

function Board({ productionId }: { productionId: string }) {
  const board = useQuery(boardQuery(productionId));
  const [search, setSearch] = useSearchParams();
  const filter = FILTERS.find((one) => one === search.get('show')) ?? 'all';
  const choose = (next: string) =>
    setSearch((before) => {
      if (next === 'all') before.delete('show');
      else before.set('show', next);
      return before;
    });
  if (board.isPending) return <Loading what={words.tour.title} />;
  if (board.isLoadingError) return <ProblemPanel error={board.error} onRetry={() => void board.refetch()} />;
  const rows = board.data.items;
  if (rows.length === 0)
    return (
      <p className="soft">
        {words.tour.noShows} <Link href="/venues">{words.places.venues}</Link>
      </p>
    );
  const shown = rows.filter((row) => matches(row, filter));
  const { columns } = words.tour;
  return (
    <section className="stack tight">
      <LateShows rows={rows} nowMs={board.dataUpdatedAt} />
      <div className="row apart">
        <fieldset className="switch">
          <legend className="unseen">{words.tour.filter}</legend>
          {FILTERS.map((one) => (
            <label key={one}>
              <input type="radio" name="board-filter" checked={filter === one} onChange={() => choose(one)} />
              {words.tour.filters[one]}
            </label>
          ))}
        </fieldset>
        <div className="row">
          <span className="soft" role="status">
            {words.tour.counts(shown.length, rows.length)}
          </span>
          <button type="button" onClick={() => download(csvOf(tableOf(shown)))}>
            {words.tour.csv}
          </button>
        </div>
      </div>
      {shown.length === 0 ? (
        <p className="row">
          {words.tour.noneMatch}
          <button type="button" onClick={() => choose('all')}>
            {words.tour.clear}
          </button>
        </p>
      ) : (
        <div className="scroll">
          <table className="fold">
            <thead>
              <tr>
                {Object.values(columns).map((name) => (
                  <th key={name} scope="col">
                    {name}
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>
              {shown.map((row) => (
                <Row key={`${row.showId} ${row.proposal?.id}`} row={row} />
              ))}
            </tbody>
          </table>
        </div>
      )}
    </section>
  );
}

function Row({ row }: { row: BoardRow }) {
  const { proposal } = row;
  return (
    <tr>
      <td>{dayText(row.from)}</td>
      <th scope="row">{proposal ? <Link href={`/proposals/${proposal.id}`}>{`${row.showName}: ${proposal.name}`}</Link> : row.showName}</th>
      <td>
        <Link href={`/spaces/${row.spaceId}`}>{`${row.venueName}, ${row.spaceName}`}</Link>
      </td>
      <td>{proposal ? <ProposalState {...proposal} /> : <BeginProposal showId={row.showId} />}</td>
      <td>
        {proposal && proposal.whoseTurn !== null ? (
          <StateMark mark="waiting" word={proposal.whoseTurn === 'tour' ? words.turn.yours : words.turn.of(words.sides.venue)} />
        ) : (
          <span className="soft">{proposal ? words.turn.nobody : words.tour.noProposal}</span>
        )}
      </td>
      <td className="soft">{proposal && momentText(proposal.since)}</td>
      <td>
        {proposal?.worst && (
          <span className="row">
            <StateMark mark={proposal.worst.verdict} /> {proposal.worst.utilisation !== null && utilisationText(proposal.worst.utilisation)}
          </span>
        )}
      </td>
    </tr>
  );
}

function BeginProposal({ showId }: { showId: string }) {
  const [, goTo] = useLocation();
  const begin = useMutation({
    mutationFn: () => valueOf(api.POST('/api/v1/proposals', { body: { showId, name: words.tour.proposalName } })),
    onSuccess: ({ id }) => goTo(`/proposals/${id}`),
  });
  return (
    <>
      <button type="button" disabled={begin.isPending} onClick={() => begin.mutate()}>
        {words.tour.begin_}
      </button>
      {begin.isError && <ProblemPanel error={begin.error} />}
    </>
  );
}

function NewProduction() {
  const [name, setName] = useState('');
  const [wasTried, setTried] = useState(false);
  const isEmpty = name.trim() === '';
  const queries = useQueryClient();
  const make = useMutation({
    mutationFn: () => valueOf(api.POST('/api/v1/productions', { body: { name } })),
    onSuccess: () => (setName(''), queries.invalidateQueries({ queryKey: ['productions'] })),
  });
  return (
    <details>
      <summary>{words.tour.newProduction}</summary>
      <form
        noValidate
        className="row"
        onSubmit={(event) => {
          event.preventDefault();
          setTried(isEmpty);
          if (!isEmpty) make.mutate();
        }}
      >
        <Field
          label={words.tour.productionName}
          value={name}
          fault={wasTried && isEmpty ? words.tour.emptyName : faultAt(make.error, '/name')}
          onChange={(event) => setName(event.target.value)}
        />
        <button type="submit" disabled={make.isPending}>
          {words.tour.begin}
        </button>
      </form>
      {make.isError && <ProblemPanel error={make.error} />}
    </details>
  );
}

function tableOf(rows: readonly BoardRow[]): (string | number)[][] {
  const { columns } = words.tour;
  return [
    [
      columns.date,
      columns.show,
      columns.venue,
      words.tour.space,
      columns.state,
      columns.turn,
      columns.since,
      columns.worst,
      words.tour.share,
      words.marks.stale,
      words.marks.suspended,
    ],
    ...rows.map(({ from, showName, venueName, spaceName, proposal }) => [
      from,
      showName,
      venueName,
      spaceName,
      proposal ? words.states[proposal.state] : words.tour.noProposal,
      proposal?.whoseTurn ? words.sides[proposal.whoseTurn] : '',
      proposal?.since ?? '',
      proposal?.worst ? words.marks[proposal.worst.verdict] : '',
      proposal?.worst?.utilisation ?? '',
      proposal?.stale ? words.yes : words.no,
      proposal?.suspended ? words.yes : words.no,
    ]),
  ];
}

function download(text: string): void {
  const address = URL.createObjectURL(new Blob([text], { type: 'text/csv;charset=utf-8' }));
  const link = document.createElement('a');
  link.href = address;
  link.download = 'tour.csv';
  link.click();
  URL.revokeObjectURL(address);
}
