import { draftFromText } from '../boards';
import { answerOrders } from './answering';

/** What a reading process runs (`reader.ts`). */
answerOrders(({ board, text }) => draftFromText(board, text));
