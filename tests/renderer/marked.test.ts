import { createElement, Fragment } from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import { describe, expect, it } from 'vitest';
import { marked } from '../../src/renderer/parts/sentence.tsx';

const html = (text: string): string => renderToStaticMarkup(createElement(Fragment, null, marked(text)));

describe('marked', () => {
  it('turns the marks of a phrase into elements', () => {
    expect(html('of 20, **9** are {low|torque low} in {mono|a.csv}')).toBe(
      'of 20, <strong>9</strong> are <span class="low">torque low</span> in <code>a.csv</code>',
    );
  });

  it('nests, and closes what was left open', () => {
    expect(html('**{high|both}**')).toBe('<strong><span class="high">both</span></strong>');
    expect(html('**open')).toBe('<strong>open</strong>');
  });

  it('leaves braces and markup of a name as they are', () => {
    expect(html('T-1} <b>{x|y}')).toBe('T-1} &lt;b&gt;{x|y}');
  });
});
