"""The file of a lesson's words in another language."""

from sim.scenario.schema import File, Words


class LessonWordsFile(File):
    """What a lesson says, in the language of the folder it lies in; what is left out is said in English."""

    title: Words | None = None
    aim: Words | None = None
    words: Words | None = None
    shift: Words | None = None
