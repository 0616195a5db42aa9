"""The files of a lesson's words in another language, and of everyday words for what the library calls otherwise."""

from sim.scenario.schema.base import Block, File, Name, Words


class TeacherWords(Block):
    """What the instructor's page says: ``why`` of the reference plan, ``refusal`` why it is right to leave."""

    teaches: Words | None = None
    reading: Words | None = None
    intended_error: Words | None = None
    debrief: Words | None = None
    why: Words | None = None
    refusal: Words | None = None


class LessonWordsFile(File):
    """What a lesson says, in the language of the folder it lies in; what is left out is said in English."""

    title: Words | None = None
    aim: Words | None = None
    words: Words | None = None
    shift: Words | None = None
    teacher: TeacherWords = TeacherWords()


class MeantFile(File):
    """Everyday words by the folder and the name of what they mean."""

    meant: dict[str, dict[Name, tuple[Words, ...]]]
