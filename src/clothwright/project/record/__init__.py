"""What earlier projects give: their records as evidence, found again, still wanted, and used for the next."""
