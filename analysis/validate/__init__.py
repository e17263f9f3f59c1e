"""How far readings can be trusted: a page of tables and plots, made from clips whose truth is known.

`python -m analysis.validate` writes `analysis/VALIDATION.md` anew. Nothing that measures a clip imports this room; it alone of the
package looks into `tests`, where the judged clips are kept.
"""
