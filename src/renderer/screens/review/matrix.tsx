import type { ReactNode } from 'react';
import type { MatrixCell, OperatorToolMatrix } from '#core/contract/models/review-model.ts';
import { Button } from '../../parts/button.tsx';
import { Interval } from '../../parts/interval.tsx';
import { useOperatorWords } from '../../parts/operator-words.ts';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';

const percent = (share: number): string => (share * 100).toFixed(1);

/** First-pass rate by operator and tool. Never a ranking: operators stand in the order the engine gave. */
export function Matrix({ model, onTool }: { model: OperatorToolMatrix; onTool: (tool: string) => void }): ReactNode {
  const words = useOperatorWords();
  const cells = new Map<string, MatrixCell>(model.cells.map((cell) => [`${cell.operator} ${cell.tool}`, cell]));
  if (model.cells.length === 0) return <p className="caption">{t('ui.review.matrix.none', {})}</p>;
  return (
    <>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a part that scrolls must be reachable by the keyboard */}
      <section className="matrix-scroll" tabIndex={0} aria-label={t('ui.review.matrix', {})}>
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
                    <Cell cell={cells.get(`${o} ${k}`)} model={model} />
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      <p className="caption">
        {t('ui.review.matrix.scale', { from: model.scaleFrom, overall: model.overall })} <Sentence of={model.caption} />
        {model.remarks.map((remark, index) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: remarks have no identity but their place
          <span key={index}>
            {' '}
            <Sentence of={remark} />
          </span>
        ))}
      </p>
    </>
  );
}

function Cell({ cell, model }: { cell: MatrixCell | undefined; model: OperatorToolMatrix }): ReactNode {
  if (!cell || cell.share === null) return <span className="muted">–</span>;
  return (
    <>
      <span className={cell.bold ? 'strong' : cell.few ? 'muted' : 'second'}>{percent(cell.share)}</span>
      <Interval
        value={cell.share}
        low={cell.low95}
        high={cell.high95}
        scale={[model.scaleFrom, 1]}
        width={56}
        strong={cell.bold}
        hollow={cell.few}
        {...(model.overall === null ? {} : { reference: model.overall })}
        text={{
          value: `${percent(cell.share)} %, n ${cell.judged}`,
          low: cell.low95 === null ? '' : percent(cell.low95),
          high: cell.high95 === null ? '' : percent(cell.high95),
        }}
      />
    </>
  );
}
