// The reliability plot as a picture: what the program said against how often it was so, with intervals. The calibration page
// shows it beside the same figures as a table.
import type { Counts } from '../store/outcome-types.ts';
import { wilsonInterval } from './interval.ts';

const side = 320;
const margin = { left: 46, bottom: 40, top: 10, right: 12 };
const x = (share: number) => margin.left + share * (side - margin.left - margin.right);
const y = (share: number) => margin.top + (1 - share) * (side - margin.top - margin.bottom);
const at = (value: number) => value.toFixed(1);

/** One point a step of probability; its place across is the mean of what was said, its size grows with the cases. */
export function ReliabilityPlot({ steps }: { readonly steps: ReadonlyArray<Counts & { readonly step: number }> }) {
  const ticks = [0, 0.25, 0.5, 0.75, 1];
  return (
    <svg class="plot" viewBox={`0 0 ${side} ${side}`} role="img" aria-label={inWords(steps)}>
      {ticks.map((tick) => (
        <>
          <line class="grid" x1={at(x(tick))} x2={at(x(tick))} y1={at(y(0))} y2={at(y(1))} />
          <line class="grid" x1={at(x(0))} x2={at(x(1))} y1={at(y(tick))} y2={at(y(tick))} />
          <text class="tick" x={at(x(tick))} y={at(y(0) + 15)} text-anchor="middle">
            {tick * 100}
          </text>
          <text class="tick" x={at(x(0) - 6)} y={at(y(tick) + 4)} text-anchor="end">
            {tick * 100}
          </text>
        </>
      ))}
      <line class="even" x1={at(x(0))} y1={at(y(0))} x2={at(x(1))} y2={at(y(1))} />
      {steps.map(({ cases, first, stated }) => {
        const { low, high } = wilsonInterval(first, cases);
        const across = at(x(stated / cases));
        return (
          <>
            <line class="span" x1={across} x2={across} y1={at(y(low))} y2={at(y(high))} />
            <circle class="point" cx={across} cy={at(y(first / cases))} r={at(Math.min(9, 3 + Math.log2(cases)))} />
          </>
        );
      })}
      <text class="name" x={at(x(0.5))} y={side - 6} text-anchor="middle">
        said [%]
      </text>
      <text class="name" transform={`translate(12 ${at(y(0.5))}) rotate(-90)`} text-anchor="middle">
        was so [%]
      </text>
    </svg>
  );
}

function inWords(steps: ReadonlyArray<Counts & { readonly step: number }>): string {
  const percent = (share: number) => Math.round(share * 100);
  const points = steps.map(
    ({ cases, first, stated }) => `said ${percent(stated / cases)}, was so in ${percent(first / cases)} of 100`,
  );
  return `What was said against how often it was so. ${points.join('; ')}`;
}
