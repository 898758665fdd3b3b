"""What a picture says in words."""

from matplotlib.axes import Axes
from matplotlib.text import Text


def words(ax: Axes) -> str:
    return "\n".join(text.get_text() for text in ax.get_figure(root=True).findobj(Text))
