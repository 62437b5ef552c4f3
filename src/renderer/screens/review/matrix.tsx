import type { ReactNode } from 'react';
import type { MatrixCell, OperatorToolMatrix } from '#core/contract/models/review-model.ts';
import { Interval } from '../../parts/interval.tsx';
import { useOperatorWords } from '../../parts/operator-words.ts';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';
import { useRoving } from '../../parts/use-roving.ts';

/** Further remarks stand under "Worth knowing". */
const mostRemarks = 2;
/** Room for the cells beside the operators' names. */
const cellsWidth = 356;

const percent = (share: number): string => (share * 100).toFixed(1);

/** First-pass rate by operator and tool. Never a ranking: operators stand in the order the engine gave. */
export function Matrix({
  model,
  onTool,
  onOperator,
  onCell,
}: {
  model: OperatorToolMatrix;
  onTool: (tool: string) => void;
  /** The readings of an operator. */
  onOperator: (operator: string) => void;
  /** The readings behind a cell. */
  onCell: (operator: string, tool: string) => void;
}): ReactNode {
  const words = useOperatorWords();
  const cells = new Map<string, MatrixCell>(model.cells.map((cell) => [`${cell.operator} ${cell.tool}`, cell]));
  // One tab stop: heads of the tools first, then row by row the operator and the cells.
  const order = new Map(
    model.operators
      .flatMap((operator, o) => [
        ...(operator.badge === null ? [] : [`${o}`]),
        ...model.tools.flatMap((_, k) => (cells.get(`${o} ${k}`)?.share == null ? [] : [`${o} ${k}`])),
      ])
      .map((key, index) => [key, model.tools.length + index]),
  );
  const roving = useRoving(model.tools.length + order.size, 'horizontal');
  const width = Math.max(36, Math.min(56, Math.floor(cellsWidth / Math.max(1, model.tools.length)) - 6));
  if (model.cells.length === 0) return <p className="caption">{t('ui.review.matrix.none', {})}</p>;
  return (
    <>
      <div className="matrix-scroll">
        <table className="data matrix" aria-label={t('ui.review.matrix', {})} onKeyDown={roving.onKeyDown}>
          <thead>
            <tr>
              <td />
              {model.tools.map((tool, k) => (
                <th key={tool.serial} scope="col">
                  <button type="button" className="link" onClick={() => onTool(tool.serial)} {...roving.item(k)}>
                    {tool.serial}
                  </button>
                  <span>{t('ui.review.matrix.n', { count: tool.fasteners })}</span>
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {model.operators.map((operator, o) => (
              <tr key={operator.badge ?? ''}>
                <th scope="row">
                  {operator.badge === null ? (
                    t('ui.review.no-operator', {})
                  ) : (
                    <button
                      type="button"
                      className="cell-button"
                      onClick={() => onOperator(operator.badge ?? '')}
                      title={t('ui.review.in-readings', {})}
                      {...roving.item(order.get(`${o}`) ?? 0)}
                    >
                      {words(operator.badge, operator.name)}
                    </button>
                  )}
                </th>
                {model.tools.map((tool, k) => (
                  <td key={tool.serial}>
                    {model.overall === null ? null : (
                      <span className="whole" style={{ left: dotLeft(model.overall, model.scaleFrom, width) }} />
                    )}
                    <Cell
                      cell={cells.get(`${o} ${k}`)}
                      model={model}
                      width={width}
                      rove={roving.item(order.get(`${o} ${k}`) ?? 0)}
                      onPress={operator.badge === null ? null : () => onCell(operator.badge ?? '', tool.serial)}
                    />
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
  onPress,
  rove,
}: {
  cell: MatrixCell | undefined;
  model: OperatorToolMatrix;
  width: number;
  onPress: (() => void) | null;
  rove: ReturnType<ReturnType<typeof useRoving>['item']>;
}): ReactNode {
  if (!cell || cell.share === null) return <span className="muted">–</span>;
  return (
    <>
      <span className={cell.bold ? 'strong' : cell.few ? 'muted' : 'second'}>
        {onPress ? (
          <button
            type="button"
            className="cell-button"
            onClick={onPress}
            title={t('ui.review.in-readings', {})}
            {...rove}
          >
            {percent(cell.share)}
          </button>
        ) : (
          percent(cell.share)
        )}
      </span>
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
