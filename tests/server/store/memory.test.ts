import { MemoryDatabase, MemoryStore } from '../../kit/memory-store';
import { storeConforms } from './conformance';
import { sharedStoreConforms } from './shared-conformance';

// What stands in the place of PostgreSQL in tests must do what PostgreSQL does.
storeConforms("the tests' own store", () => {
  const database = new MemoryDatabase();
  return () => new MemoryStore(database);
});

sharedStoreConforms("the tests' own store", async (count) => {
  const database = new MemoryDatabase();
  return Array.from({ length: count }, () => new MemoryStore(database));
});
