import { ComboBox, Input, Label, ListBox, ListBoxItem, Popover } from 'react-aria-components';
import type { RoofPoint } from '../../domain/roof/structure.ts';

/** A point by its label: typed or picked. */
export function PointSelect({
  label,
  points,
  value,
  onChange,
}: {
  label: string;
  points: readonly RoofPoint[];
  value: string | null;
  onChange: (point: RoofPoint) => void;
}) {
  return (
    <ComboBox
      className="field"
      items={points}
      menuTrigger="focus"
      value={value}
      onChange={(id) => {
        const point = points.find((one) => one.id === id);
        if (point && point.id !== value) onChange(point);
      }}
    >
      <Label>{label}</Label>
      <Input size={10} />
      <Popover className="menu">
        <ListBox<RoofPoint>>{(point) => <ListBoxItem id={point.id}>{point.label}</ListBoxItem>}</ListBox>
      </Popover>
    </ComboBox>
  );
}
