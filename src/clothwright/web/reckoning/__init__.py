"""The pages that answer one question and keep nothing: yarn numbers and setts."""
