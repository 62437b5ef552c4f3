import type { ReactNode } from 'react';
import type { MatrixCell, OperatorToolMatrix } from '#core/contract/models/review-model.ts';
import { Button } from '../../parts/button.tsx';
import { Interval } from '../../parts/interval.tsx';
import { useOperatorWords } from '../../parts/operator-words.ts';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';

/** Further remarks stand under "Worth knowing". */
const mostRemarks = 2;
/** Room for the cells beside the operators' names. */
const cellsWidth = 356;

const percent = (share: number): string => (share * 100).toFixed(1);

/** First-pass rate by operator and tool. Never a ranking: operators stand in the order the engine gave. */
export function Matrix({ model, onTool }: { model: OperatorToolMatrix; onTool: (tool: string) => void }): ReactNode {
  const words = useOperatorWords();
  const width = Math.max(36, Math.min(56, Math.floor(cellsWidth / Math.max(1, model.tools.length)) - 6));
  const cells = new Map<string, MatrixCell>(model.cells.map((cell) => [`${cell.operator} ${cell.tool}`, cell]));
  if (model.cells.length === 0) return <p className="caption">{t('ui.review.matrix.none', {})}</p>;
  return (
    <>
      {/* biome-ignore lint/a11y/useSemanticElements: the region around it is the landmark */}
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a part that scrolls must be reachable by the keyboard */}
      <div className="matrix-scroll" role="group" tabIndex={0} aria-label={t('ui.review.matrix', {})}>
        <table className="data matrix">
          <thead>
            <tr>
              <td />
              {model.tools.map((tool) => (
                <th key={tool.serial} scope="col">
                  <Button kind="link" onPress={() => onTool(tool.serial)}>
                    {tool.serial}
                  </Button>
                  <span>{t('ui.review.matrix.n', { count: tool.fasteners })}</span>
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {model.operators.map((operator, o) => (
              <tr key={operator.badge ?? ''}>
                <th scope="row">
                  {operator.badge === null ? t('ui.review.no-operator', {}) : words(operator.badge, operator.name)}
                </th>
                {model.tools.map((tool, k) => (
                  <td key={tool.serial}>
                    {model.overall === null ? null : (
                      <span className="whole" style={{ left: dotLeft(model.overall, model.scaleFrom, width) }} />
                    )}
                    <Cell cell={cells.get(`${o} ${k}`)} model={model} width={width} />
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <p className="caption">
        <Sentence of={model.caption} />
        {model.remarks.slice(0, mostRemarks).map((remark, index) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: remarks have no identity but their place
          <span key={index}>
            {' '}
            <Sentence of={remark} />
          </span>
        ))}
        {model.remarks.length > mostRemarks
          ? ` ${t('ui.review.matrix.more', { count: model.remarks.length - mostRemarks })}`
          : null}
      </p>
    </>
  );
}

/** Where the parts of a cell draw a share: the scale of `Interval` with its margins. */
const dotLeft = (share: number, from: number, width: number): number =>
  4 + Math.max(0, Math.min(1, (share - from) / (1 - from))) * (width - 8);

function Cell({
  cell,
  model,
  width,
}: {
  cell: MatrixCell | undefined;
  model: OperatorToolMatrix;
  width: number;
}): ReactNode {
  if (!cell || cell.share === null) return <span className="muted">–</span>;
  return (
    <>
      <span className={cell.bold ? 'strong' : cell.few ? 'muted' : 'second'}>{percent(cell.share)}</span>
      <Interval
        value={cell.share}
        low={cell.low95}
        high={cell.high95}
        scale={[model.scaleFrom, 1]}
        width={width}
        strong={cell.bold}
        hollow={cell.few}
        text={{
          value: `${percent(cell.share)} %, n ${cell.judged}`,
          low: cell.low95 === null ? '' : percent(cell.low95),
          high: cell.high95 === null ? '' : percent(cell.high95),
        }}
      />
    </>
  );
}
