import type { PointLoad } from '../../domain/assessment/assessment.ts';
import type { Hang } from '../../domain/plan/plan.ts';
import type { RoofPoint } from '../../domain/roof/structure.ts';
import { isBuiltFrame } from '../plan-editing/edit-frame.ts';
import { isBuiltTruss } from '../plan-editing/edit-truss.ts';
import { words } from '../words.ts';
import { ArrayDrawing } from './ArrayDrawing.tsx';
import { BridleDrawing } from './BridleDrawing.tsx';
import { FrameDrawing } from './FrameDrawing.tsx';
import { HangDrawing } from './HangDrawing.tsx';
import { LinesList } from './LinesList.tsx';
import { TiersList } from './TiersList.tsx';
import { TrussDrawing } from './TrussDrawing.tsx';

/** One hang from the side: to scale, with what a rigger reads off it. Bridles stand beside it, each in its own plane. */
export function Elevation({ hang, points, loads }: { hang: Hang; points: readonly RoofPoint[]; loads: readonly PointLoad[] }) {
  return (
    <div className="stack">
      <HangDrawing hang={hang} points={points} />
      {isBuiltTruss(hang) && hang.linesOffPlumb && hang.linesOffPlumb.length > 0 && <p className="soft">{words.elevation.ringed}</p>}
      {isBuiltTruss(hang) && <TrussDrawing hang={hang} />}
      {isBuiltFrame(hang) && <FrameDrawing hang={hang} />}
      {hang.kind === 'array' && hang.build !== null && <ArrayDrawing hang={hang} build={hang.build} />}
      {hang.kind === 'array' && hang.build === null && <p className="soft">{words.elevation.noBuild}</p>}
      {hang.pickUps.map(
        (pickUp) =>
          pickUp.attachment.kind === 'bridle' && (
            <BridleDrawing
              key={pickUp.id}
              chalk={pickUp.chalk}
              attachment={pickUp.attachment}
              points={points}
              loads={loads.filter(({ pickUpId }) => pickUpId === pickUp.id)}
            />
          ),
      )}
      {hang.pickUps.map(
        ({ id, chalk, attachment }) =>
          attachment.kind === 'tiers' && (
            <TiersList
              key={id}
              chalk={chalk}
              attachment={attachment}
              points={points}
              loads={loads.filter(({ pickUpId }) => pickUpId === id)}
            />
          ),
      )}
      {hang.linesOffPlumb && hang.linesOffPlumb.length > 0 && (
        <LinesList hang={hang} points={points} loads={loads.filter(({ hangId }) => hangId === hang.id)} />
      )}
    </div>
  );
}
