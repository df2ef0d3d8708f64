"""How Alembic runs the migrations of a book: on the one connection the program hands it, in its transaction."""

from alembic import context

connection = context.config.attributes["connection"]
context.configure(connection=connection, render_as_batch=True, transactional_ddl=False)
context.run_migrations()
